-- Share of students who meet an outcome's bar, by class section and pooled.
select
    cast(null as varchar) as term, -- id of the term
    cast(null as varchar) as section, -- class section, or all
    cast(null as varchar) as outcome, -- id of the outcome
    cast(null as integer) as students, -- students with enough evidence
    cast(null as integer) as meeting, -- students who meet the bar
    cast(null as double) as share, -- share who meet the bar, 0 to 1
    cast(null as double) as share_low, -- lower end of its 95 % interval
    cast(null as double) as share_high, -- upper end of its 95 % interval
    cast(null as varchar) as share_note, -- why there is no share
    cast(null as integer) as too_little, -- students with too little evidence, in no share
    cast(null as double) as share_bar_lower, -- share if the bar were ten points lower
    cast(null as double) as share_bar_lower_low, -- lower end of its 95 % interval
    cast(null as double) as share_bar_lower_high, -- upper end of its 95 % interval
    cast(null as double) as share_bar_higher, -- share if the bar were ten points higher
    cast(null as double) as share_bar_higher_low, -- lower end of its 95 % interval
    cast(null as double) as share_bar_higher_high, -- upper end of its 95 % interval
    cast(null as boolean) as shown -- whether its figures are of enough students and tell of no fewer by subtraction
where false
