namespace GuildStash.Web.Features.Output;

/// <summary>What was handed to recipients and what was worked into their pieces, year by year, as one statement.</summary>
internal static class OutputSql
{
    /// <summary>
    /// Pieces by the day on their record, yarn by the moment of its movement on the guild's wall clock. What takes something back counts in
    /// the year of what it takes back, so that a correction in January mends December. Yarn is found by the checkouts, which have an index
    /// on the project; movements have none on where they lead.
    /// </summary>
    /// <param name="zone">IANA name of the guild's zone.</param>
    /// <param name="most">Rows at most.</param>
    public static FormattableString Of(string zone, int most) =>
        $"""
         select recipient, year, sum(pieces)::bigint as pieces, sum(mg)::bigint as mg, sum(metres) as metres, sum(unmeasured_mg)::bigint as unmeasured_mg
         from (
             select btrim(coalesce(p.recipient, '')) as recipient, extract(year from coalesce(back.on, r.on))::int as year,
                 r.pieces, 0::bigint as mg, 0::double precision as metres, 0::bigint as unmeasured_mg
             from piece_record r
             left join piece_record back on back.id = r.takes_back_id
             left join project p on p.id = r.project_id
             where r.step = 'Delivered'
             union all
             select btrim(p.recipient), extract(year from coalesce(back.at, m.at) at time zone {zone})::int,
                 0, sign.of * m.mg, sign.of * m.mg / 100000.0 * coalesce(l.metres_per100g_likely, 0),
                 case when l.metres_per100g_likely is null then sign.of * m.mg else 0 end
             from project p
             join checkout c on c.project_id = p.id
             join movement m on m.checkout_id = c.id and (m.to_kind = 'Project' or m.from_kind = 'Project')
             cross join lateral (select case when m.to_kind = 'Project' then 1 else -1 end as of) sign
             left join movement back on back.id = m.corrects_id
             join lot l on l.id = m.lot_id
         ) as line
         group by recipient, year
         having sum(pieces) <> 0 or sum(mg) <> 0
         order by year desc, recipient
         limit {most}
         """;
}
