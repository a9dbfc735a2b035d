-- One stored answer that an earlier download of an export held and the latest does not.
select
    cast(null as varchar) as file, -- the export
    cast(null as bigint) as response -- the answer, which is kept
where false
