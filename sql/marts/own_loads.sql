-- What each load read and what became of it: read = stored + duplicates + rejected.
select
    f.file, -- export, relative to the course folder
    f.loaded_at, -- time of the load, UTC
    f.rows_read, -- answers found in it
    f.stored, -- answers stored
    f.duplicates, -- answers known before
    f.rejected -- rows rejected
from store.source_file as f
