namespace GuildStash.Data.Ledger;

/// <summary>
/// The part of the books that the database keeps itself: balances follow movements and holds in the same statement, so that the check
/// constraints on lot, bag and checkout refuse what is not there whoever asks, and movements are written once.
/// The functions run with the owner's rights: the application's role may not change movements.
/// </summary>
internal static class LedgerTriggers
{
    public const string Create =
        """
        create function movement_applied() returns trigger language plpgsql security definer set search_path = public as $body$
        declare
            from_room boolean := new.from_kind in ('Bin', 'Quarantine');
            to_room boolean := new.to_kind in ('Bin', 'Quarantine');
        begin
            if new.lot_id is not null and (from_room or to_room) then
                update lot set
                    on_hand_mg = on_hand_mg
                        + case when to_room then new.mg else 0 end
                        - case when from_room then new.mg else 0 end,
                    quarantined_mg = quarantined_mg
                        + case when new.to_kind = 'Quarantine' then new.mg else 0 end
                        - case when new.from_kind = 'Quarantine' then new.mg else 0 end
                where id = new.lot_id;
            end if;
            if new.from_kind = 'Bag' then
                update bag set unsorted_mg = unsorted_mg - new.mg where id = new.from_id;
            end if;
            if new.to_kind = 'Bag' then
                update bag set unsorted_mg = unsorted_mg + new.mg where id = new.to_id;
            end if;
            if new.checkout_id is not null then
                update checkout set at_home_mg = at_home_mg
                    + case when new.to_kind = 'Member' then new.mg else 0 end
                    - case when new.from_kind = 'Member' then new.mg else 0 end
                where id = new.checkout_id;
            elsif new.from_kind = 'Member' or new.to_kind = 'Member' then
                raise exception 'A movement to or from a member needs its checkout.' using errcode = 'check_violation';
            end if;
            return null;
        end
        $body$;

        create trigger movement_applied after insert on movement for each row execute function movement_applied();

        create function movement_is_final() returns trigger language plpgsql as $body$
        begin
            raise exception 'Movements are written once: correct them with a counter-movement.' using errcode = 'restrict_violation';
        end
        $body$;

        create trigger movement_is_final before update or delete on movement for each row execute function movement_is_final();
        create trigger movement_is_never_emptied before truncate on movement for each statement execute function movement_is_final();

        create function hold_applied() returns trigger language plpgsql security definer set search_path = public as $body$
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
                raise exception 'A hold stays with its lot.' using errcode = 'restrict_violation';
            end if;
            if before_mg <> after_mg then
                update lot set held_mg = held_mg + after_mg - before_mg where id = coalesce(new.lot_id, old.lot_id);
            end if;
            return null;
        end
        $body$;

        create trigger hold_applied after insert or update or delete on hold for each row execute function hold_applied();
        """;

    public const string Drop =
        """
        drop trigger if exists hold_applied on hold;
        drop function if exists hold_applied;
        drop trigger if exists movement_is_never_emptied on movement;
        drop trigger if exists movement_is_final on movement;
        drop function if exists movement_is_final;
        drop trigger if exists movement_applied on movement;
        drop function if exists movement_applied;
        """;
}
