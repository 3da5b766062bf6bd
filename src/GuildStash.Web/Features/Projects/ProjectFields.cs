using GuildStash.Data.Projects;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Projects;

/// <summary>Reads what was entered about a project.</summary>
internal static class ProjectFields
{
    public const int MostYearsAhead = 10;
    public const int ShortestPublicName = 3;
    public const int LongestPublicName = 60;

    /// <summary>Writes what was entered; nothing is written when the check failed. A deadline that stood there before may be past.</summary>
    /// <param name="project">A new one, or one that was read with its pieces.</param>
    public static async Task ApplyAsync(Act act, Project project, ProjectInput input, Check check)
    {
        DateOnly today = await ProjectReader.TodayAsync(act);
        string name = check.Needed(input.Name, "name", 150);
        string recipient = check.Text(input.Recipient, "recipient", 200);
        string description = check.Text(input.Description, "description", 4000);
        RecipientRules known = RecipientRuleBook.Each.Aggregate(RecipientRules.None, (all, r) => all | r.Rule);
        check.That((input.Rules & ~known) == 0, "rules", "There is a rule among these that does not exist.");
        check.That(input.Deadline is null || input.Deadline == project.Deadline || (input.Deadline >= today && input.Deadline <= today.AddYears(MostYearsAhead)), "deadline",
            "{0} can't be the deadline; allowed is from today to {1} years ahead. Leave it empty where there is none.", input.Deadline ?? today, MostYearsAhead);
        string? publicName = await PublicNameAsync(act, project, input.PublicName, check);
        WantedPieceList pieces = new(act, project, check);
        await pieces.ReadAsync(input.Pieces);
        if (check.Failed)
        {
            return;
        }

        project.Name = name;
        project.Recipient = recipient;
        project.Description = description;
        project.Rules = input.Rules;
        project.Deadline = input.Deadline;
        project.PublicName = publicName;
        pieces.Write();
    }

    private static async Task<string?> PublicNameAsync(Act act, Project project, string? typed, Check check)
    {
        string name = (typed ?? "").Trim().ToLowerInvariant();
        if (name.Length == 0)
        {
            return null;
        }

        bool isName = name.Length is >= ShortestPublicName and <= LongestPublicName && name[0] != '-' && name[^1] != '-' && name.All(c => char.IsAsciiLetterOrDigit(c) || c == '-');
        check.That(isName, "publicName", "\"{0}\" can't be part of an address: {1} to {2} letters from a to z, digits and hyphens are allowed, with no hyphen at either end. Leave it empty to keep the project to members.",
            name.Length > LongestPublicName ? name[..LongestPublicName] + "…" : name, ShortestPublicName, LongestPublicName);
        if (isName && await act.Db.Projects.AnyAsync(p => p.Id != project.Id && p.PublicName == name, act.Cancellation))
        {
            check.Add(Refusal.Conflict("public-name-taken", "Another project has the public name \"{0}\" already. Choose another, for instance with the year.", name) with { Field = "publicName" });
        }

        return name;
    }
}
