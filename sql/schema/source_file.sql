-- One load of one export; an export that grew has several.
select
    cast(null as varchar) as file, -- export, relative to the course folder
    cast(null as varchar) as sha256, -- digest of its bytes
    cast(null as bigint) as rows_read, -- answers found in it
    cast(null as bigint) as stored, -- answers stored
    cast(null as bigint) as duplicates, -- answers known before
    cast(null as bigint) as rejected, -- rows rejected
    cast(null as timestamp) as loaded_at, -- time of the load, UTC
    cast(null as timestamp) as file_time, -- when the export was last written, by its file system, UTC
    cast(null as varchar) as read_by -- fingerprint of the column map that it was read by
where false
