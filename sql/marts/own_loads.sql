-- What each load read and what became of it: read = stored + duplicates + rejected; what was left out on purpose, of test accounts and erased students, is in no number.
with purposely as (
    select r.file, count(*)::integer as "rows"
    from store.rejected as r
    where not r.needs_look
    group by r.file
),
loads as (
    select
        f.file, f.loaded_at, f.rows_read, f.stored, f.duplicates, f.rejected,
        if(
            row_number() over (partition by f.file order by f.loaded_at desc) = 1,
            least(coalesce(p."rows", 0), f.rejected), 0
        ) as aside
    from store.source_file as f
    left join purposely as p on f.file = p.file
)
select
    l.file, -- export, relative to the course folder
    l.loaded_at, -- time of the load, UTC
    l.rows_read - l.aside as rows_read, -- answers found in it
    l.stored, -- answers stored
    l.duplicates, -- answers known before
    l.rejected - l.aside as rejected -- rows rejected that need a look
from loads as l
