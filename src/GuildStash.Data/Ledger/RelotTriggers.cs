namespace GuildStash.Data.Ledger;

/// <summary>
/// What the database asks of splits and merges: both halves of a transfer stand in the books when the transaction ends, transfers are
/// written once, a merged lot stays merged, its active holds may go with it, and the words of the lot that is left know its old codes.
/// </summary>
internal static class RelotTriggers
{
    public const string Create =
        """
        create function relot_is_whole(transfer uuid) returns void language plpgsql as $body$
        declare
            t lot_transfer;
            halves record;
        begin
            select * into t from lot_transfer where id = transfer;
            if not found then
                raise exception 'A movement between lots needs its transfer.' using errcode = 'check_violation';
            end if;
            select count(*) filter (where m.to_kind = 'Relotted' and m.to_id = t.id and m.lot_id = t.from_lot_id and m.mg = t.mg) as gone,
                count(*) filter (where m.from_kind = 'Relotted' and m.from_id = t.id and m.lot_id = t.to_lot_id and m.mg = t.mg) as come,
                count(*) as every
            into halves
            from movement m
            where m.lot_id in (t.from_lot_id, t.to_lot_id) and ((m.to_kind = 'Relotted' and m.to_id = t.id) or (m.from_kind = 'Relotted' and m.from_id = t.id));
            if (halves.gone, halves.come, halves.every) <> (1, 1, 2) then
                raise exception 'A transfer between lots has two halves of the same mass.' using errcode = 'check_violation', constraint = 'relot_is_whole';
            end if;
        end
        $body$;

        create function relot_movement() returns trigger language plpgsql as $body$
        begin
            perform relot_is_whole(case when new.to_kind = 'Relotted' then new.to_id else new.from_id end);
            return null;
        end
        $body$;

        create function relot_transfer() returns trigger language plpgsql as $body$
        begin
            perform relot_is_whole(new.id);
            return null;
        end
        $body$;

        create constraint trigger relot_movement after insert on movement deferrable initially deferred
            for each row when (new.to_kind = 'Relotted' or new.from_kind = 'Relotted') execute function relot_movement();
        create constraint trigger relot_transfer after insert on lot_transfer deferrable initially deferred
            for each row execute function relot_transfer();

        create trigger lot_transfer_is_final before update or delete on lot_transfer for each row execute function movement_is_final();
        create trigger lot_transfer_is_never_emptied before truncate on lot_transfer for each statement execute function movement_is_final();

        create function merged_lot_stays() returns trigger language plpgsql as $body$
        begin
            if old.merged_into_id is not null and new.merged_into_id is distinct from old.merged_into_id then
                raise exception 'A merged lot stays merged.' using errcode = 'restrict_violation';
            end if;
            return new;
        end
        $body$;

        create trigger merged_lot_stays before update of merged_into_id on lot for each row execute function merged_lot_stays();

        create or replace function hold_applied() returns trigger language plpgsql security definer set search_path = public as $body$
        declare
            before_mg bigint := 0;
            after_mg bigint := 0;
        begin
            if tg_op <> 'INSERT' then
                before_mg := case when old.state = 'Active' then old.mg else 0 end;
            end if;
            if tg_op <> 'DELETE' then
                after_mg := case when new.state = 'Active' then new.mg else 0 end;
            end if;
            if tg_op = 'UPDATE' and old.lot_id <> new.lot_id then
                if before_mg = 0 or before_mg <> after_mg
                    or not exists (select 1 from lot_transfer where kind = 'Merge' and from_lot_id = old.lot_id and to_lot_id = new.lot_id) then
                    raise exception 'A hold stays with its lot, unless the lot is merged into another.' using errcode = 'restrict_violation';
                end if;
                update lot set held_mg = held_mg - before_mg where id = old.lot_id;
                update lot set held_mg = held_mg + after_mg where id = new.lot_id;
            elsif before_mg <> after_mg then
                update lot set held_mg = held_mg + after_mg - before_mg where id = coalesce(new.lot_id, old.lot_id);
            end if;
            return null;
        end
        $body$;

        create or replace function lot_words() returns trigger language plpgsql security definer set search_path = public as $body$
        begin
            new.words := lower(concat_ws(E'\n', new.code, nullif(new.dye_lot, ''), (select number from donation where id = new.donation_id), nullif(new.notes, ''),
                (with recursive merged as (
                    select id, code from lot where merged_into_id = new.id
                    union
                    select l.id, l.code from lot l join merged m on l.merged_into_id = m.id)
                select string_agg(code, E'\n' order by code) from merged)));
            return new;
        end
        $body$;
        """;

    public const string Drop =
        """
        drop trigger if exists merged_lot_stays on lot;
        drop function if exists merged_lot_stays;
        drop trigger if exists lot_transfer_is_never_emptied on lot_transfer;
        drop trigger if exists lot_transfer_is_final on lot_transfer;
        drop trigger if exists relot_transfer on lot_transfer;
        drop trigger if exists relot_movement on movement;
        drop function if exists relot_transfer;
        drop function if exists relot_movement;
        drop function if exists relot_is_whole;
        drop trigger if exists lot_words on lot;
        drop function if exists lot_words;
        """ + "\n" + Stock.LotWords.Create;
}
