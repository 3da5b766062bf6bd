namespace GuildStash.Data.Stock;

/// <summary>
/// Two letters are too few for trigrams. The pairs of neighbouring letters in a lot's words stand in an index of their own; no row
/// holds them.
/// </summary>
public static class LotPairs
{
    /// <summary>Names of schemas are spelt out, since a restored database is filled without a search path.</summary>
    internal const string Create =
        """
        create function lot_pairs(words text) returns text[] language plpgsql immutable strict parallel safe as $body$
        declare
            pairs text[] := '{}';
        begin
            for place in 1 .. length(words) - 1 loop
                pairs[place] := substr(words, place, 2);
            end loop;
            return pairs;
        end
        $body$;

        create function lot_has_pair(words text, pair text) returns boolean language sql immutable parallel safe as $body$
            select public.lot_pairs(words) @> array[pair]
        $body$;

        create index ix_lot_pairs on lot using gin (lot_pairs(words));
        """;

    internal const string Drop =
        """
        drop index if exists ix_lot_pairs;
        drop function if exists lot_has_pair;
        drop function if exists lot_pairs;
        """;

    /// <summary>Whether the words have these two letters side by side; only within questions to the database.</summary>
    /// <param name="words">A lot's words.</param>
    /// <param name="pair">Two characters, lower case; they count as they stand.</param>
    public static bool Has(string words, string pair) => throw new InvalidOperationException("Only the database answers this.");
}
