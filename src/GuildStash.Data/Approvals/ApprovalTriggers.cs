namespace GuildStash.Data.Approvals;

/// <summary>What was asked and how it was settled stays as it was, whoever writes; and where the rule about write-offs begins.</summary>
internal static class ApprovalTriggers
{
    public const string Create =
        """
        create function approval_is_settled_once() returns trigger language plpgsql as $body$
        begin
            if tg_op <> 'UPDATE' then
                raise exception 'Requests for a second person are kept.' using errcode = 'restrict_violation';
            end if;
            if old.state <> 'Waiting' or (new.id, new.kind, new.payload, new.subject, new.mg, new.asked_at, new.asked_by_id, new.asked_as)
                is distinct from (old.id, old.kind, old.payload, old.subject, old.mg, old.asked_at, old.asked_by_id, old.asked_as) then
                raise exception 'A request for a second person is settled once and never rewritten.' using errcode = 'restrict_violation';
            end if;
            return new;
        end
        $body$;

        create trigger approval_is_settled_once before update or delete on approval for each row execute function approval_is_settled_once();
        create trigger approval_is_never_emptied before truncate on approval for each statement execute function approval_is_settled_once();

        update guild set second_person_from = coalesce((select max(sequence) from movement), 0);
        """;

    public const string Drop =
        """
        drop trigger if exists approval_is_never_emptied on approval;
        drop trigger if exists approval_is_settled_once on approval;
        drop function if exists approval_is_settled_once;
        """;
}
