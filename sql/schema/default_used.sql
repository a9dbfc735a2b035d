-- What the course folder did not say and what was taken instead.
select
    cast(null as varchar) as sentence -- one plain sentence for the pages
where false
