-- One answer that its source took back: it stays so, whatever file brings it once more.
select
    cast(null as varchar) as source_id -- keyed name that the source gave it
where false
