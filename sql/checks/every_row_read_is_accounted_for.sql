-- Rows read are stored, known duplicates or rejected; nothing is lost, nothing counted twice.
select f.file, f.rows_read, f.stored, f.duplicates, f.rejected
from store.source_file as f
where f.rows_read <> f.stored + f.duplicates + f.rejected
