-- One set of faults that explains a wrong answer.
select
    cast(null as bigint) as examined, -- key of the judged answer
    cast(null as varchar[]) as faults, -- ids of all faults, in the order of the working
    cast(null as varchar) as pattern, -- the fault that matters more
    cast(null as double) as weight, -- prior weight, before the class is known
    cast(null as boolean) as general -- whether it is a slip of the pen or in arithmetic
where false
