namespace GuildStash.Data.Quarantine;

/// <summary>A mothball smell that was noted stays noted (bit 8), whoever writes; and since when things that are apart have been so.</summary>
internal static class QuarantineTriggers
{
    public const string Create =
        """
        create function mothball_stays() returns trigger language plpgsql as $body$
        begin
            if old.conditions & 8 <> 0 and new.conditions & 8 = 0 then
                raise exception 'A mothball smell stays noted for good.' using errcode = 'restrict_violation';
            end if;
            return new;
        end
        $body$;

        create trigger mothball_stays before update of conditions on lot for each row execute function mothball_stays();
        create trigger mothball_stays before update of conditions on bag for each row execute function mothball_stays();

        update bag set quarantined_at = d.created_at from donation d where d.id = bag.donation_id and bag.quarantine_reason is not null;
        update lot set quarantined_at = coalesce((select max(m.at) from movement m where m.lot_id = lot.id and m.to_kind = 'Quarantine' and m.reason <> 'Moved'), created_at)
        where quarantine_reason is not null;
        """;

    public const string Drop =
        """
        drop trigger if exists mothball_stays on bag;
        drop trigger if exists mothball_stays on lot;
        drop function if exists mothball_stays;
        """;
}
