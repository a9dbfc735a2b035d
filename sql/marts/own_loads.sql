-- What each load read and what became of it: read = stored + duplicates + rejected; what was left out on purpose, of test accounts and erased students, is in no number, and rows of few are none.
with purposely as (
    select r.file, count(*)::integer as "rows"
    from store.rejected as r
    where not r.needs_look
    group by r.file
),
counted as (
    select a.file, sum(a.count)::bigint as answers
    from staging.told_answer as a
    group by a.file
),
loads as (
    select
        f.file, f.loaded_at, f.rows_read, f.stored, f.duplicates, f.rejected, n.answers,
        row_number() over (partition by f.file order by f.loaded_at desc) = 1 as latest,
        if(latest, least(coalesce(p."rows", 0), f.rejected), 0) as aside
    from store.source_file as f
    left join purposely as p on f.file = p.file
    left join counted as n on f.file = n.file
),
told as (
    select
        l.file, l.loaded_at, l.rows_read - l.aside as rows_read, l.stored, l.duplicates,
        l.rejected - l.aside as rejected, if(l.latest, l.answers, null) as counted,
        l.stored between 1 and c.minimum_students - 1 as few_stored,
        l.duplicates between 1 and c.minimum_students - 1 as few_duplicates,
        l.rejected - l.aside between 1 and c.minimum_students - 1
        or l.file in (select r.file from main.own_rejected as r where r."rows" is null) as few_rejected,
        exists(select 1 from staging.rare_sort) as coarse
    from loads as l
    cross join store.course as c
)
select
    t.file, -- export, relative to the course folder
    t.loaded_at, -- time of the load, UTC
    if(t.coarse or t.few_stored or t.few_duplicates or t.few_rejected, null, t.rows_read) as rows_read, -- answers found in it; none where it would tell of a hidden number beside it
    if(t.few_stored, null, if(t.coarse, t.counted, t.stored)) as stored, -- answers stored; none under the limit, as in the next two; where few gave a sort of answers, those of the whole file that the pages count
    if(t.few_duplicates, null, t.duplicates) as duplicates, -- answers known before
    if(t.few_rejected, null, t.rejected) as rejected -- rows rejected that need a look
from told as t
