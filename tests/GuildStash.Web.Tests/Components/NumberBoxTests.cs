using Bunit;
using GuildStash.Domain.Rules;
using GuildStash.Web.Components.Shared;
using Microsoft.AspNetCore.Components;
using Xunit;

namespace GuildStash.Web.Tests.Components;

public sealed class NumberBoxTests : ShellTest
{
    [Theory]
    [InlineData("en-GB", "12,5", 12.5)]
    [InlineData("de-DE", "12.5", 12.5)]
    [InlineData("fr-FR", "1.234,5", 1234.5)]
    public void Type_WhenTheNumberCanBeRead_RaisesItAndKeepsTheText(string culture, string typed, double expected)
    {
        Read(culture);
        decimal? value = 41_500;
        IRenderedComponent<NumberBox> box = Ui.Render<NumberBox>(p => p.Bind(c => c.Value, value, v => value = v));

        box.Find("input").Input(typed);
        box.Render(p => p.Add(c => c.Value, value));
        box.Find("input").Change(typed);

        Assert.Equal((decimal)expected, value);
        Assert.Equal(typed, box.Find("input").GetAttribute("value"));
        Assert.Empty(box.FindAll(".field-error"));
    }

    [Fact]
    public void Leave_WhenTheTextIsNoNumber_SaysSoBesideTheFieldAndKeepsTheText()
    {
        decimal? value = 3;
        string? reported = null;
        IRenderedComponent<NumberBox> box = Ui.Render<NumberBox>(p => p
            .Bind(c => c.Value, value, v => value = v)
            .Add(c => c.ErrorChanged, sentence => reported = sentence));

        box.Find("input").Input("150 g");
        Assert.Empty(box.FindAll(".field-error"));
        box.Find("input").Change("150 g");

        Assert.Null(value);
        Assert.Equal("150 g", box.Find("input").GetAttribute("value"));
        Assert.Equal("true", box.Find("input").GetAttribute("aria-invalid"));
        string describedBy = box.Find("input").GetAttribute("aria-describedby")!;
        Assert.Equal("“150 g” is not a number. Type digits only, such as 12.5.", box.Find("#" + describedBy).TextContent);
        Assert.Equal(box.Find("#" + describedBy).TextContent, reported);
    }

    [Theory]
    [InlineData("0", "0 is not allowed here: 0.1 to 40,000 is.")]
    [InlineData("40001", "40,001 is not allowed here: 0.1 to 40,000 is.")]
    public void Leave_WhenTheNumberIsOutOfRange_NamesValueAndLimit(string typed, string sentence)
    {
        IRenderedComponent<NumberBox> box = Ui.Render<NumberBox>(p => p.Add(c => c.Min, 0.1m).Add(c => c.Max, 40_000m));

        box.Find("input").Change(typed);

        Assert.Equal(sentence, box.Find(".field-error").TextContent);
    }

    [Fact]
    public void Type_WhenTheErrorIsMended_TakesTheSentenceAway()
    {
        IRenderedComponent<NumberBox> box = Ui.Render<NumberBox>();

        box.Find("input").Change("x");
        box.Find("input").Input("7");

        Assert.Empty(box.FindAll(".field-error"));
        Assert.Null(box.Find("input").GetAttribute("aria-invalid"));
    }

    [Fact]
    public void SetValue_WhenThePageChangesIt_ShowsItInTheCulture()
    {
        Read("de-DE");
        IRenderedComponent<NumberBox> box = Ui.Render<NumberBox>(p => p.Add(c => c.Value, 1m));

        box.Render(p => p.Add(c => c.Value, 1234.5m));

        Assert.Equal("1234,5", box.Find("input").GetAttribute("value"));
    }

    [Fact]
    public void Type_WhenTheFieldAroundRendersAgain_KeepsTheText()
    {
        decimal? value = 41_500;
        RenderFragment<FieldContext> Input() => _ => builder =>
        {
            builder.OpenComponent<NumberBox>(0);
            builder.AddComponentParameter(1, nameof(NumberBox.Value), value);
            builder.AddComponentParameter(2, nameof(NumberBox.ValueChanged), EventCallback.Factory.Create<decimal?>(this, v => value = v));
            builder.CloseComponent();
        };
        IRenderedComponent<Field> field = Ui.Render<Field>(p => p
            .Add(f => f.Name, "grams").Add(f => f.Label, "Grams").Add(f => f.ChildContent, Input()));

        field.Find("input").Input("1.234,5");
        field.Render(p => p.Add(f => f.ChildContent, Input()));

        Assert.Equal(1234.5m, value);
        Assert.Equal("1.234,5", field.Find("input").GetAttribute("value"));
    }

    [Fact]
    public void Step_WhenAtTheLimit_IsDisabled()
    {
        decimal? value = null;
        IRenderedComponent<Stepper> stepper = Ui.Render<Stepper>(p => p
            .Bind(c => c.Value, value, v => value = v).Add(c => c.Min, 1m).Add(c => c.Max, 2m).Add(c => c.Label, "Wraps"));

        Assert.True(stepper.FindAll("button")[0].HasAttribute("disabled"));
        stepper.FindAll("button")[1].Click();
        Assert.Equal(1, value);
        stepper.Render(p => p.Add(c => c.Value, value));
        stepper.FindAll("button")[1].Click();
        stepper.Render(p => p.Add(c => c.Value, value));

        Assert.Equal(2, value);
        Assert.True(stepper.FindAll("button")[1].HasAttribute("disabled"));
        Assert.False(stepper.FindAll("button")[0].HasAttribute("disabled"));
    }

    [Fact]
    public void Submit_WhenANumberCannotBeRead_DoesNotSave()
    {
        int saved = 0;
        IRenderedComponent<EntryForm> form = Ui.Render<EntryForm>(p => p
            .Add(c => c.OnSubmit, () => saved++)
            .AddChildContent<Field>(field => field
                .Add(f => f.Name, "grams").Add(f => f.Label, "Grams")
                .Add(f => f.ChildContent, _ => builder =>
                {
                    builder.OpenComponent<NumberBox>(0);
                    builder.CloseComponent();
                })));

        form.Find("#grams").Input("abc");
        form.Find("form").Submit();
        Assert.Equal(0, saved);
        Assert.Contains("Nothing was saved", form.Find("[role=alert]").TextContent, StringComparison.Ordinal);

        form.Find("#grams").Input("150");
        form.Find("form").Submit();
        Assert.Equal(1, saved);
        Assert.Empty(form.FindAll("[role=alert]"));
    }

    [Fact]
    public void Show_WhenRefusalsNameAFieldAndNone_PutsEachInItsPlace()
    {
        IReadOnlyList<Refusal> refusals =
        [
            Refusal.Invalid("grams", "Grams are {0}; allowed is {1} to {2}.", -5, 0.1m, 40_000),
            Refusal.Invalid("elsewhere", "This field is not on the page."),
            Refusal.Conflict("bin-full", "Bin {0} is full.", "K7M-S"),
        ];
        IRenderedComponent<EntryForm> form = Ui.Render<EntryForm>(p => p
            .Add(c => c.OnSubmit, () => { })
            .AddChildContent<Field>(field => field
                .Add(f => f.Name, "grams").Add(f => f.Label, "Grams").Add(f => f.Hint, "With bands.")
                .Add(f => f.ChildContent, context => builder =>
                {
                    builder.OpenElement(0, "input");
                    builder.AddMultipleAttributes(1, context.Attributes);
                    builder.CloseElement();
                })));

        form.Render(p => p.Add(c => c.Refusals, refusals));

        Assert.Equal("Grams are -5; allowed is 0.1 to 40000.", form.Find("#grams-error").TextContent.Trim());
        Assert.Equal("grams-hint grams-error", form.Find("#grams").GetAttribute("aria-describedby"));
        Assert.Equal("true", form.Find("#grams").GetAttribute("aria-invalid"));
        Assert.Equal("grams", form.Find("label").GetAttribute("for"));
        Assert.Equal(
            ["This field is not on the page.", "Bin K7M-S is full."],
            form.FindAll("[role=alert] p").Select(p => p.TextContent));
    }

    [Fact]
    public void Leave_WhenTheFieldWasRefusedBefore_OnlyTheBoxSaysWhatIsAllowed()
    {
        IRenderedComponent<EntryForm> form = Ui.Render<EntryForm>(p => p
            .Add(c => c.OnSubmit, () => { })
            .Add(c => c.Refusals, [Refusal.Invalid("wanted", "Say how many of these are wanted.")])
            .AddChildContent<Field>(field => field
                .Add(f => f.Name, "wanted").Add(f => f.Label, "Number")
                .Add(f => f.ChildContent, _ => builder =>
                {
                    builder.OpenComponent<NumberBox>(0);
                    builder.AddComponentParameter(1, nameof(NumberBox.Min), (decimal?)1);
                    builder.AddComponentParameter(2, nameof(NumberBox.Max), (decimal?)8_000);
                    builder.CloseComponent();
                })));
        Assert.Equal(["Say how many of these are wanted."], Errors(form));

        form.Find("#wanted").Input("-2");
        form.Find("#wanted").Change("-2");
        form.Find("form").Submit();

        form.WaitForAssertion(() => Assert.Equal(["-2 is not allowed here: 1 to 8,000 is."], Errors(form)));
        Assert.Equal("Nothing was saved: one of the numbers can't be taken. It is marked below, with what is allowed.", form.Find("[role=alert]").TextContent);
        form.Find("#wanted").Input("2");
        form.WaitForAssertion(() => Assert.Equal(["Say how many of these are wanted."], Errors(form)));
    }

    private static IEnumerable<string> Errors(IRenderedComponent<EntryForm> form) => form.FindAll(".field-error").Select(e => e.TextContent.Trim());
}
