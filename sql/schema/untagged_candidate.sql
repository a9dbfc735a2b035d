-- One set of faults that a person's tag of an answer took the place of, to be brought back when the tag goes.
select
    cast(null as bigint) as examined, -- key of the judged answer
    cast(null as varchar[]) as faults, -- ids of all faults, in the order of the working; empty for unexplained
    cast(null as varchar) as pattern, -- the fault that matters more, or unexplained
    cast(null as double) as weight, -- prior weight, or the share unexplained before the class is known
    cast(null as boolean) as general -- whether it is a slip of the pen or in arithmetic
where false
