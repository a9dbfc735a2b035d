-- One stored answer whose score a later export told otherwise.
select
    cast(null as bigint) as response, -- the answer
    cast(null as varchar) as file, -- export that told the new score
    cast(null as integer) as line, -- line or row in it, from 1
    cast(null as double) as score_before, -- score that was stored, in points; null when there was none
    cast(null as double) as points_before, -- points that were possible
    cast(null as double) as score, -- score that is stored now, in points
    cast(null as double) as points, -- points that are possible
    cast(null as timestamp) as file_time -- when the export was last written, by its file system, UTC
where false
