-- What would have to be in brackets, by the convention of each kind of brackets that were not typed.
select
    k.brackets,
    case
        when k.brackets like 'root-%' then 'root'
        when k.brackets like 'exponent-%' or k.brackets = 'minus-before-power' then 'power'
        when k.brackets = 'argument-over-product' then 'function'
        else 'fraction'
    end as bracketed
from (select distinct e.brackets from store.examined as e where e.verdict = 'right-if-meant') as k
