-- One table that the figures were worked out from, and what it held then.
select
    cast(null as varchar) as "table", -- its name with its schema; `program` stands for the program itself
    cast(null as varchar) as content -- number of its rows and a sum over them; empty for tables made from others
where false
