using Bunit;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.HandOver;

public sealed class WholeLotChoiceTests : DeskPages
{
    [Theory]
    [InlineData(60_000, 0, 60.0, true, "Scale and books agree; the lot is closed.")]
    [InlineData(60_000, 0, 58.0, true, "The books have 60 g: the difference of 2 g is booked as the weighing difference, and the lot is closed.")]
    [InlineData(60_000, 0, 65.0, true, "The books have 60 g: the difference of 5 g is booked as the weighing difference, and the lot is closed.")]
    [InlineData(60_000, 0, 66.0, true, "The books have 60 g, which is 6 g off: more than weighing explains (5 g). Hand over a part, or count the bin first.")]
    [InlineData(60_000, 0, null, true, "The books have 60 g. What the scale shows more or less is booked as the weighing difference, and the lot is closed.")]
    [InlineData(60_000, 0, 40.0, false, "20 g stay in the bin.")]
    [InlineData(60_000, 0, 61.5, false, "That is 1.5 g more than the books have besides what others hold. Give less, or tick that the whole lot leaves.")]
    [InlineData(60_000, 0, null, false, "60 g of it are there for this.")]
    [InlineData(60_000, 40_000, 60.0, true, "40 g more of it are held, so a part leaves.")]
    public void Explain_WhenTheScaleShowsAMass_SaysWhatTheBooksDo(long whole, long others, double? grams, bool ticked, string words)
    {
        IRenderedComponent<WholeLotChoice> choice = Ui.Render<WholeLotChoice>(p => p
            .Add(c => c.WholeMg, whole).Add(c => c.OthersMg, others).Add(c => c.ToleranceMg, 5_000).Add(c => c.Grams, (decimal?)grams).Add(c => c.Value, ticked));

        Assert.Equal(words, Words(choice.FindAll("p")));
        Assert.Equal(words.Contains("more than weighing explains", StringComparison.Ordinal), choice.FindAll(".field-error").Count == 1);
        Assert.Equal(others > 0, choice.Find("input").HasAttribute("disabled"));
        Assert.Equal(ticked && others == 0, choice.Find("input").HasAttribute("checked"));
    }
}
