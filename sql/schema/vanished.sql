-- One stored answer that an earlier download of an export held and the latest does not.
select
    cast(null as varchar) as file, -- the export
    cast(null as bigint) as response, -- the answer, which is kept
    cast(null as varchar) as identity -- fingerprint of key and rules under which it has its pseudonym
where false
