-- Words and shares that the scenario is made of. Names are invented; accents, marks and one right-to-left name stand
-- for what real files hold.
create or replace temp table name_words as
select * from (
    values
    ('given', [
        'Adela', 'Alvin', 'Amabel', 'Anselm', 'Aurélie', 'Bertold', 'Brida', 'Caspar', 'Célia', 'Corvin', 'Dagny',
            'Dario', 'Dorrit', 'Edda',
        'Elio', 'Elsbeth', 'Emeric', 'Eudora', 'Fabian', 'Fenna', 'Florian', 'Gisela', 'Gustav', 'Hedda', 'Hesper',
            'Ignác', 'Ilka', 'Isidor',
        'Jarmila', 'Joachim', 'Jorun', 'Kasimir', 'Kirsa', 'Lavinia', 'Leopold', 'Linnea', 'Lucian', 'Maëlle',
            'Magnus', 'Maribel', 'Marius',
        'Mathilda', 'Merrick', 'Minna', 'Nadir', 'Noemí', 'Norbert', 'Odile', 'Olaf', 'Ottilie', 'Pascal', 'Perpetua',
            'Quentin', 'Ramona',
        'Rolf', 'Rosalind', 'Sören', 'Sidonie', 'Tadeo', 'Thekla', 'Tobias', 'Ulrike', 'Valentin', 'Verena',
            'Walburga', 'Wendel', 'Ximena',
        'Yolanda', 'Zdenka', 'Zeno', 'Anne-Lis', 'Jean-Bo', 'נטע'
    ]),
    ('family', [
        'Abelard', 'Almquist', 'Arrowmere', 'Ashgrove', 'Bárány-Lund', 'Bellamar', 'Brackwater', 'Briarly', 'Calloran',
            'Carrowell', 'Čermínek',
        'Coldbrook', 'Corvessa', 'D''Aubrey', 'D''Ormonde', 'Dellacort', 'Dunmarrow', 'Eastmere', 'Elderwick',
            'Émeraud', 'Fairlock', 'Fenwright',
        'Fjellström', 'Garrowby', 'Glenhollow', 'Grünwald-Ott', 'Halloway', 'Harrowgate', 'Hearthman', 'Hollinsworth',
            'Ivarsson', 'Jasperine',
        'Kestrelton', 'Kovářová', 'Lachlowe', 'Lindqvist', 'Lockhaven', 'Łukowiec', 'Marlowen', 'Mbelu-Stroud',
            'Merriwick', 'Moorcastle',
        'Núñez-Arran', 'Nightingrove', 'O''Carrow', 'O''Dellan', 'Oakenshaw', 'Östermark', 'Pellworth', 'Pemberlin',
            'Quillon', 'Quimbrell',
        'Ravensby', 'Redmarsh', 'Rosethorn', 'Saltmarsh', 'Şahinbey', 'Silverlake', 'St. Arden', 'Stonemark',
            'Tallowfield', 'Thistlewood',
        'Tressmont', 'Umberland', 'Vandermeer-Po', 'Vesterholt', 'von Arlen', 'Waverlock', 'Westerbrook', 'Whitlowe',
            'Wrenfield', 'Yarrowby',
        'Yılmazer', 'Zellwood', 'Živanov', 'de la Marsh', 'MacAvellan', 'Nguyễn-Hale', 'Ó Braonáin', 'טלמור'
    ]),
    ('hospital', ['STM', 'RIVERSIDE', 'NORTHPARK', 'PLAINS', 'MERCYFIELD']),
    ('care', ['LARKHILL', 'SUNMEADOW', 'WILLOWBEND', 'GOLDENROD', 'HARBOR-REST']),
    ('firm', ['TALLGRASS', 'LONEPINE', 'MESA-VIEW', 'CLEARWATER'])
) as listed (kind, words);

-- Deaths a month against the mean month: January 1.08, August 0.93 (mean deaths 2010-2020, news analysis of CDC
-- WONDER); the months between by judgement.
create or replace temp table season as
with months as (
    select * from (
        values
        (minutes_of('2026-05-18 05:00:00'), minutes_of('2026-06-01 05:00:00'), 97 * 14),
        (minutes_of('2026-06-01 05:00:00'), minutes_of('2026-07-01 05:00:00'), 95 * 30),
        (minutes_of('2026-07-01 05:00:00'), minutes_of('2026-08-01 05:00:00'), 94 * 31),
        (minutes_of('2026-08-01 05:00:00'), minutes_of('2026-09-01 05:00:00'), 93 * 31),
        (minutes_of('2026-09-01 05:00:00'), minutes_of('2026-10-01 05:00:00'), 95 * 30),
        (minutes_of('2026-10-01 05:00:00'), minutes_of('2026-11-01 05:00:00'), 100 * 31),
        (minutes_of('2026-11-01 05:00:00'), minutes_of('2026-11-16 05:00:00'), 104 * 15)
    ) as listed (starts, ends, weight)
)

select
    starts,
    ends,
    480 * 65536 * (sum(weight) over (order by starts) - weight)::bigint // (sum(weight) over ())::bigint as from_place,
    480 * 65536 * (sum(weight) over (order by starts))::bigint // (sum(weight) over ())::bigint as to_place
from months;
