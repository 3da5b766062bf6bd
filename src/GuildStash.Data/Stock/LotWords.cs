namespace GuildStash.Data.Stock;

/// <summary>
/// What a search looks through, as one column that the database keeps. Trigrams (PostgreSQL's own extension pg_trgm) find three and more
/// letters anywhere in it through an index. The bin is not among the words, since lots move and bins are renamed.
/// </summary>
internal static class LotWords
{
    public const string Create =
        """
        create function lot_words() returns trigger language plpgsql security definer set search_path = public as $body$
        begin
            new.words := lower(concat_ws(E'\n', new.code, nullif(new.dye_lot, ''), (select number from donation where id = new.donation_id), nullif(new.notes, '')));
            return new;
        end
        $body$;

        create trigger lot_words before insert or update of code, dye_lot, donation_id, notes, words on lot for each row execute function lot_words();

        update lot set words = '';
        """;

    public const string Drop =
        """
        drop trigger if exists lot_words on lot;
        drop function if exists lot_words;
        """;
}
