namespace GuildStash.Data.Intake;

/// <summary>
/// What the database does for the trail of donors' data: it notes every donor that is entered or changed, whoever does it, in the same
/// statement, and refuses to change or delete what was noted. The program says through what it works in the setting guildstash.way.
/// </summary>
internal static class DonorTrailTriggers
{
    public const string Create =
        """
        create function donor_noted() returns trigger language plpgsql security definer set search_path = public as $body$
        declare
            said text := coalesce(nullif(current_setting('guildstash.way', true), ''), 'Unknown');
            touched text := concat_ws(', ',
                case when tg_op = 'INSERT' or old.name is distinct from new.name then 'name' end,
                case when (tg_op = 'INSERT' and new.contact <> '') or (tg_op = 'UPDATE' and old.contact is distinct from new.contact) then 'contact' end);
        begin
            if touched <> '' then
                insert into donor_trail (donor_id, person_id, at, day, kind, way, fields)
                values (new.id, new.changed_by_id, new.changed_at, (new.changed_at at time zone 'UTC')::date,
                    case tg_op when 'INSERT' then 'Entered' else 'Changed' end, said, touched);
            end if;
            return null;
        end
        $body$;

        create trigger donor_noted after insert or update on donor for each row execute function donor_noted();

        create function donor_trail_is_final() returns trigger language plpgsql as $body$
        begin
            raise exception 'The trail of donors'' data is written once.' using errcode = 'restrict_violation';
        end
        $body$;

        create trigger donor_trail_is_final before update or delete on donor_trail for each row execute function donor_trail_is_final();
        create trigger donor_trail_is_never_emptied before truncate on donor_trail for each statement execute function donor_trail_is_final();

        insert into donor_trail (donor_id, person_id, at, day, kind, way, fields)
        select id, created_by_id, created_at, (created_at at time zone 'UTC')::date, 'Entered', 'Unknown', case when contact = '' then 'name' else 'name, contact' end
        from donor order by created_at, id;
        """;

    public const string Drop =
        """
        drop trigger if exists donor_noted on donor;
        drop function if exists donor_noted;
        drop trigger if exists donor_trail_is_final on donor_trail;
        drop trigger if exists donor_trail_is_never_emptied on donor_trail;
        drop function if exists donor_trail_is_final;
        """;
}
