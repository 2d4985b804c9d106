"""Names of procedures, materials and defects: stem | units it is used with | meaning | a standard's term, from memory."""

RULES = """
action | - | what is to be done about a defect
added_area | m2 | cross-section that the rod adds
allows | - | what one more test would cover
aluminium | frac | aluminium by mass
answered_by | - | the entry that answered a trip
base | frac | content of the base metal
base_density | kg_m3 | density of the base metal
below | frac | content of the bead below
bend_radius | m | radius over which a specimen was bent
bends | - | bends that were tested
carbon | frac | carbon by mass
chromium | frac | chromium by mass
compositions | - | certificates and analyses written down
conceded | - | the signed concession that closes a gap, or how many there are
concessions | - | signed concessions
confirmed | - | whether somebody who has the text confirmed the row
defect | - | which kind of defect
defect_event | - | the entry by which a defect was found
defects | - | defects found
dilution | frac | share of the weld that was base metal | dilution (AWS A3.0)
finding | - | what an examination found
found_by | - | how a defect was found
gas_name | - | which gas, as the bottle says
hafnium | frac | hafnium by mass
hardness | 1 | hardness on the scale named; in a record, all that was measured
hydrogen | frac | hydrogen by mass
in_layer | - | in which layer a defect lies
iron | frac | iron by mass
judges | - | what a code is laid against
kept_for | - | the metal family that a tool is kept for
layer | frac | content of a bead laid on another
leaves | - | what one more test would not settle
match | - | whether a reading is the metal that was expected
melted_area | m2 | cross-section of base metal that melts
mixed | frac | content of rod and base metal mixed
molybdenum | frac | molybdenum by mass
nde | - | kind of examination, and its reports in a record | NDE
nickel | frac | nickel by mass
niobium | frac | niobium by mass
nitrogen | frac | nitrogen by mass
opening | m | largest open place on a bent specimen
oxygen_equivalent | frac | oxygen that would strengthen as much as oxygen, nitrogen and carbon do together
palladium | frac | palladium by mass
part | - | which part: an end, the rod or the weld
pmi | - | readings of which metal it is | PMI
remelted | frac | share of a bead that was the bead below
repairs_decided | - | decisions on defects
repairs_made | - | repairs made
revision | - | which revision of a written procedure
rod | frac | content of the rod
rod_density | kg_m3 | density of the rod
ruthenium | frac | ruthenium by mass
scale | - | scale of a hardness
specimen | - | which bend: face, root or side
sponge_hardness | HB | Brinell hardness of melted sponge of that composition
test_record | - | name of the record of a procedure test | PQR
tested | - | test records behind a procedure
tester | - | portable or laboratory hardness tester
tin | frac | tin by mass
told_by | - | whether a certificate or an analysis tells it
tool | - | which tool
tools | - | tools taken
touches | - | what touched prepared surfaces
values | - | values of a test piece
vanadium | frac | vanadium by mass
waivers | - | signed waivers
weight | - | class of a variable: essential, supplementary, nonessential
written | - | what a procedure writes | WPS
zone | - | where hardness was measured
"""
