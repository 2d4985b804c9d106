"""Names of procedures, materials and defects: stem | units it is used with | meaning | a standard's term, from memory."""

RULES = """
added_area | m2 | cross-section that the rod adds
base | frac | content of the base metal
base_density | kg_m3 | density of the base metal
below | frac | content of the bead below
carbon | frac | carbon by mass
dilution | frac | share of the weld that was base metal | dilution (AWS A3.0)
iron | frac | iron by mass
layer | frac | content of a bead laid on another
melted_area | m2 | cross-section of base metal that melts
mixed | frac | content of rod and base metal mixed
nitrogen | frac | nitrogen by mass
oxygen_equivalent | frac | oxygen that would strengthen as much as oxygen, nitrogen and carbon do together
remelted | frac | share of a bead that was the bead below
rod | frac | content of the rod
rod_density | kg_m3 | density of the rod
sponge_hardness | HB | Brinell hardness of melted sponge of that composition
"""
