-- The course, one row.
select
    cast(null as varchar) as title, -- the course's name as the pages print it
    cast(null as integer) as minimum_students, -- groups of fewer distinct students are hidden, 10 unless the institution says otherwise
    cast(null as integer) as shared_weeks, -- weeks of a period after which counts for everyone are printed
    cast(null as boolean) as declared_terms, -- whether the course lists its terms; else they come from the answers
    cast(null as double) as margin, -- change of a share between terms that counts as small, 0 to 1
    cast(null as varchar) as time_zone, -- IANA name of the zone in which days and weeks are counted
    cast(null as varchar) as rule_set, -- fingerprint of all rules that judged the answers, the course's own among them
    cast(null as varchar) as program, -- fingerprint of those rules that concern every answer: catalogue, reader, procedures, reading settings
    cast(null as varchar) as inputs, -- fingerprint of the answers and course facts that the marts were built from
    cast(null as varchar) as key_fingerprint, -- fingerprint of the pseudonym key, never the key
    cast(null as varchar) as settings, -- fingerprint of terms and identity rules by which exports were read
    cast(null as varchar) as maps, -- fingerprint of all column maps
    cast(null as varchar) as items, -- fingerprint of the items file by which stored answers were settled
    cast(null as varchar) as layout -- fingerprint of the stored tables' own shape
where false
