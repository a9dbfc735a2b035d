-- What a load had to say besides its rows.
select
    cast(null as varchar) as file, -- export that was read
    cast(null as varchar) as sentence -- one plain sentence for the pages
where false
