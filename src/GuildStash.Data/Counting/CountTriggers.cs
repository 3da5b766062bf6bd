namespace GuildStash.Data.Counting;

/// <summary>
/// A bin that is being counted is frozen, whoever writes: no movement from or to it, and no lot put into it or taken out. Whoever moves
/// yarn holds the bin's key against the one who begins a count, so that either comes wholly before the other. And counts are kept.
/// The refusal carries who counts in its hint, as JSON.
/// </summary>
internal static class CountTriggers
{
    public const string Create =
        """
        create function refuse_counted_bins(bins uuid[]) returns void language plpgsql security definer set search_path = public as $body$
        declare
            counted record;
        begin
            perform 1 from bin where id = any(bins) order by id for key share;
            select b.code, p.display_name, to_char(c.begun_at at time zone g.time_zone, 'HH24:MI') as since into counted
            from bin_count c join bin b on b.id = c.bin_id join person p on p.id = c.begun_by_id cross join guild g
            where c.bin_id = any(bins) and c.ended_at is null and c.lapses_at > clock_timestamp()
            order by c.begun_at limit 1;
            if found then
                raise exception 'A bin is being counted.' using errcode = 'GS001',
                    hint = json_build_object('bin', counted.code, 'by', counted.display_name, 'since', counted.since)::text;
            end if;
        end
        $body$;

        create function movement_spares_counted_bins() returns trigger language plpgsql as $body$
        begin
            if new.from_kind in ('Bin', 'Quarantine') or new.to_kind in ('Bin', 'Quarantine') then
                perform refuse_counted_bins(array[
                    case when new.from_kind in ('Bin', 'Quarantine') then new.from_id end,
                    case when new.to_kind in ('Bin', 'Quarantine') then new.to_id end]);
            end if;
            return new;
        end
        $body$;

        create trigger movement_spares_counted_bins before insert on movement for each row execute function movement_spares_counted_bins();

        create function lot_spares_counted_bins() returns trigger language plpgsql as $body$
        begin
            if tg_op = 'INSERT' then
                perform refuse_counted_bins(array[new.bin_id]);
            elsif old.bin_id <> new.bin_id then
                perform refuse_counted_bins(array[old.bin_id, new.bin_id]);
            end if;
            return new;
        end
        $body$;

        create trigger lot_spares_counted_bins before insert or update of bin_id on lot for each row execute function lot_spares_counted_bins();

        create function count_is_kept() returns trigger language plpgsql as $body$
        begin
            if tg_op <> 'UPDATE' then
                raise exception 'Counts are kept.' using errcode = 'restrict_violation';
            end if;
            if old.ended_at is not null
                and (new.bin_id, new.way, new.begun_at, new.begun_by_id, new.ended_at, new.ended_by_id, new.scale_division_mg, new.gross_mg, new.tare_mg, new.lots, new.book_mg, new.found_mg, new.tolerance_mg)
                is distinct from (old.bin_id, old.way, old.begun_at, old.begun_by_id, old.ended_at, old.ended_by_id, old.scale_division_mg, old.gross_mg, old.tare_mg, old.lots, old.book_mg, old.found_mg, old.tolerance_mg) then
                raise exception 'A count that is ended is never rewritten.' using errcode = 'restrict_violation';
            end if;
            return new;
        end
        $body$;

        create trigger count_is_kept before update or delete on bin_count for each row execute function count_is_kept();
        create trigger count_is_never_emptied before truncate on bin_count for each statement execute function count_is_kept();
        """;

    public const string Drop =
        """
        drop trigger if exists count_is_never_emptied on bin_count;
        drop trigger if exists count_is_kept on bin_count;
        drop function if exists count_is_kept;
        drop trigger if exists lot_spares_counted_bins on lot;
        drop function if exists lot_spares_counted_bins;
        drop trigger if exists movement_spares_counted_bins on movement;
        drop function if exists movement_spares_counted_bins;
        drop function if exists refuse_counted_bins;
        """;
}
