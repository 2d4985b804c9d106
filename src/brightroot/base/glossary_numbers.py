"""Names of numbers: stem | units it is used with | meaning | a standard's term, from memory."""

NUMBERS = """
across | m | distance from the weld line
activation | J_mol | activation energy of the film's growth
added | frac | oxygen that diffusion may add
after_arc_off | s | time since the last arc-off
ahead | m | distance ahead of the arc; negative behind it
air_density | kg_m3 | density of room air
allowance | m | shield added to the hot length for its own poor end
along | m | places along the pipe, from the weld
ambient | K | temperature of the pipe and the hall before any arc
arc_at | rad | where the arc went off
arc_energy | J_m | energy the arc spends on a metre of weld, efficiency one | arc energy (ISO/TR 18491)
arc_time | s | time that the arc is on
area | m2 | cross-section to be filled
argon | m3 | volume of argon at the reference state
argon_density | kg_m3 | density of argon
argon_depth | m | depth of argon over the floor of a pit
argon_flow | m3_s | argon let out into a room
around | m | once round the outside of the pipe
at | rad s | clock position on the joint, or an instant in seconds since 1970
at_utc | - | instant as ISO 8601 text in UTC
back_diffusion_flow | m3_s | flow through the open arc that keeps diffusion out
background | A | current between pulses
backing | m3 s | time or argon of the backing gas over the whole joint
backing_flow | m3_s | flow of argon into the bore | backing gas flow (AWS A5.32)
bare_deposit | kg | rod metal without cap and root
bead_area | m2 | cross-section of metal one bead adds
beads | count | number of beads in a layer
between | s | time of all that is neither arc, hold nor wait; of a pulse, its pause
bore | m | inside diameter at the joint
bore_a | m | inside diameter of the first end where it was measured
bore_area | m2 | cross-section of the bore
bore_b | m | inside diameter of the far end where it was measured
bottom | m2 | floor of a pit or vessel, over which argon settles
cap_area | m2 | cross-section of the cap above the outer face
cap_height | m | height of the cap above the outer face | excess weld metal (ISO 6520-1)
cap_metal | m3 | volume of the cap
cap_width | m | width of the cap
capacity | J_m3K | heat that warms a cubic metre by one kelvin
centroid_height | m | where an area has its middle, above the inside
clean_band | m | width cleaned on each side of the groove
closing_flow | m3_s | backing flow to step down to before the last arc closes
column | Pa | pressure at the foot of a riser full of argon
compressibility | 1 | how far argon is from an ideal gas
concavity | m | depth of a root that is sucked in | root concavity (ISO 6520-1)
conductivity | W_mK | how well the metal conducts heat
convection | W_m2K | heat lost to moving air or gas at a face
cooling | s | time from one temperature to another
cup_bore | m | inside diameter of the torch cup
current | A | welding current
current_max | A | most current the procedure allows
current_min | A | least current the procedure allows
cylinder | K | temperature of the cylinder
cylinder_argon | frac | oxygen of cylinder argon put straight to the monitor
cylinder_pressure | Pa | pressure shown on the cylinder
cylinder_volume | m3 | water volume of the cylinder
cylinders | 1 count | cylinders that a total takes
dam | K | temperature where a dam stands
dam_span | m | distance between the dams, or the whole run where there are none
dams_placed | count | dams put in so far
dams_removed | count | dams taken out so far
density | kg_m3 | mass of a cubic metre
deposit | kg m | mass of rod metal in the weld; thickness of weld metal that a welder lays
depth | m | length of a gap along which gas must diffuse, or depth of a defect
dew_point | K | dew point of the gas
diffusion_flow | m3_s | flow through an open arc that keeps diffusion out
diffusivity | m2_s | how fast oxygen spreads in argon
discharge | 1 | share of an opening that a jet fills
distance | m | how far away: a probe from the weld, or a dam from it
dose | frac_s | oxygen dose of hot metal: ppm times seconds above 600 °C
drawn_argon | m3 | argon drawn since the pressure was read
drawn_rod_length | m | rod taken from the store, stubs included
each | s | time of one of several like things
efficiency | frac | share of the arc's power that reaches the metal | thermal efficiency (EN 1011-1)
elapsed | s | time gone by
emissivity | 1 | how well a face radiates
emissivity_set | 1 | what an infrared thermometer takes it for
events | count | number of events in the log
exchange | m3_s | air that comes in for argon that runs out
face_dose | frac_s | oxygen dose of the face under the shield
face_film | m | oxide film on the face
feed | m_s | speed at which rod is fed; as a fact, where the argon enters
fill_height | m | height of groove left to fill
filled_argon | m3 | argon above the heel when the pressure was read
film | m nm | thickness of the oxide film
first | s | time of the first event
first_bore | m | inside diameter of one side
first_length | m | length of one side of the purged run
flooding_flow | m3_s | flow at which no air enters the top of an open arc
floor | frac | oxygen at which a purge settles
flow | m3_s | flow of argon
from | rad | clock position where something begins
from_height | m | height where a layer begins
fused_area | m2 | cross-section that the arc melts
gap | m | distance between the lands | root opening (AWS A3.0)
gap_area | m2 | area of the open gap
gap_share | frac | share of the flow that leaves by the gap
gas | K | temperature of the gas
gas_left | s | how long the usable gas lasts
gas_pressure | Pa | pressure of the gas
groove_area | m2 | cross-section of the empty groove
groove_width | m | width of the groove at a height
half_length | m | length of pipe that the heat engine gives each side
half_span | m | from the root to each dam
heat_capacity | J_m3K | heat that warms a cubic metre by one kelvin
heat_input | J_m | heat that reaches a metre of weld | heat input (EN 1011-1)
heat_input_max | J_m | most heat input the procedure allows
heel_pressure | Pa | pressure at which a cylinder is changed
height | m | height above the inside of the pipe, or of a riser
hi_lo | m | step between the two insides at a place | linear misalignment (ISO 6520-1)
hilo | m | largest step that two bores and an offset can make
hold | s | time after arc-off until all that was welded is under the release temperature
hose_end | frac | oxygen of cylinder argon read through the sample line
hot | s | time above 600 °C
hot_length | m | length behind the arc that is over the release temperature
hot_length_inner | m | the same on the inside
hot_length_outer | m | the same on the outside
in_leak | m3_s | air that leaks into the pipe
in_leak_budget | m3_s | largest leak with which the target is still reached
included_angle | rad | both bevels together | groove angle (AWS A3.0)
interpass_max | K | hottest the next run may start on | interpass temperature (ISO 13916)
kinetic | m2_s | parabolic rate of the film's growth
kp600 | m2_s | that rate at 600 °C
lag | s | how long a monitor takes to show a change
land | m | flat edge left at the root | root face (AWS A3.0)
largest_bead | m2 | largest sensible cross-section of one bead
last | frac s | the latest: oxygen read, or time of the last event
layer_area | m2 | cross-section of one layer
layer_height | m | thickness of one layer
layer_metal | m3 | volume of one layer inside the groove
layers | count | number of layers
least_flow | m3_s | least flow that must leave through an open arc
length | m | how long something is
lift | m | how far the ends of a straight shield stand off the pipe
limit | K frac | what may not be exceeded
limit_reached | s | time until a room falls to the limit
lip | m | height over the floor at which a pit or vessel runs over
lip_reached | s | time until argon stands to the lip of a pit
longest_run | m | longest run one wants to weld in one go
loss | W_m2K | heat lost from a face for each kelvin
loss_inner | W_m2K | the same of the inner face
loss_outer | W_m2K | the same of the outer face
margin | 1 | how many times over a flow is wanted
melt_enthalpy | J_kg | heat that warms and melts a kilogram
melt_in | m | how far each edge of the gap melts
melting | frac | share of the heat that melts metal
metal | K m3 | temperature or volume of metal; as a fact, the grade
middle | m | where the cap or root has its middle
mixed_argon | m3 | argon for a fully mixed purge
mixed_time | s | time for a fully mixed purge
mixed_volumes | 1 | volumes for a fully mixed purge
moisture | frac | water vapour in the gas
nearest | m | nearest that a dam may stand to the root
net_heat | J | heat put into the metal by all runs
net_power | W | power that reaches the metal
offset | m | distance between the two axes
one_rod | m | length of a new rod
open_area | m2 | area of the gap that stands open
open_pressure | Pa | pressure inside with an arc open
opening_area | m2 | area of a round vent
opening_diameter | m | diameter of a round vent
other_flow | m3_s | flow at the second of two plateaus
other_plateau | frac | oxygen at the second of two plateaus
out | count | pieces that must come out of the pipe again
outer_diameter | m | outside diameter of the pipe
outflow_speed | m_s | speed at which gas leaves through an opening
overlap | m | how far the cap covers each edge
overpressure | Pa | pressure inside over that outside
overpressure_top | Pa | the same at the top of an open arc
oxygen | frac | share of oxygen in the gas; in a record, all that was read of it
oxygen_upper | frac | most oxygen there can be while nothing is measured
parts | kg m3 s | what is added up
peak | K | temperature at its warmest
peak_after | s | time after arc-off until the probe's place is hottest
plateau | frac | oxygen at which a purge stands still
post_flow | s | gas after the arc at the torch
post_purge_ended | s | when the backing gas was ended after the last run
pre_flow | s | gas before the arc at the torch
prepared | s | when, and by what, the surface was made ready
prepared_valid | s | how long a prepared surface counts as clean to weld
pressure | Pa | pressure inside over that outside
protrusion | m | how far the root stands into the bore | excess penetration (ISO 6520-1)
pulse | s | time that a pulse lasts
pulsed | A | current that a pulse comes to
purge_ended | s | when the purge was ended
purge_started | s | when the purge was started
purge_time | s | time of the purge before the root
purged_volume | m3 | volume of gas between the dams
reach | m | straight metal beside the joint for probe and shield
reach_a | m | the same on the first side
reach_b | m | the same on the far side
reading | K | temperature at the probe's place
reading_at_arc_off | K | the same when the arc stops
reading_distance | m | where the temperature is read, from the weld's edge
reading_peak | K | highest temperature at the probe's place
reference | K | temperature at which gas volumes are told
reference_pressure | Pa | pressure at which gas volumes are told
release | K | temperature under which hot metal may leave its argon
reserve | 1 | how many times over the gas is wanted
ring_diameter | m | mean diameter of the gap's ring
rise | dK | temperature over ambient
rod_diameter | m | diameter of the rod
rod_length | m | rod that ends up in the weld
rods | count m | rods to take out; in a family those on the shelf, in a record those looked at
room | m3 | volume of a room
room_oxygen | frac | oxygen in the air of a room
root_area | m2 | cross-section of the root inside the bore
root_dose | frac_s | oxygen dose of the root
root_film | m | oxide film on the root
root_metal | m3 | volume of the root inside the bore
root_oxygen | frac | oxygen at the root
run | count | number of a run
run_length | m | length of a run
run_volume | m3 | volume of gas in a piece of pipe
second_bore | m | inside diameter of the other side
second_length | m | length of the other side of the purged run
section | m2 | area of the pipe's metal, cut across
share | frac | part of a whole
sherwood | 1 | how well the gas brings oxygen to the surface
shield_in_hand | m | length of the shield that is there
shield_length | m | least length of shield that is needed; as a fact, that of the one in hand
shield_spare | m | how much longer the shield in hand is than needed
shielded | s | time that the torch and trailing gas are on
silent | s | time since the last reading
slope_down | s | time for the current to fall
slope_up | s | time for the current to rise
spread | frac | relative doubt of a curve
start | frac | share of oxygen at the beginning; as a fact, what stands in the field
start_oxygen | frac | oxygen under which the arc may start
started | s | when the arc was struck
stick_out | m | tungsten beyond the cup
stopped | s | when the arc stopped
stopped_at | rad | clock position where the arc stopped
stub | m | rod that cannot be used
supply | frac m_s | oxygen in the gas as bought, or the film that arriving oxygen can make in a second
supply_oxygen | frac | oxygen in the gas as bought or read at the hose
surface | K m | temperature of a face, or its length in the gas
sweep | rad | how far round, signed
tack_length | m | length of a tack
tanks | count | number of mixed tanks in a row that a pipe behaves like
tape | s | time of taping and untaping
target | frac | oxygen to be reached
temperature | K | how hot
time | s | how long the purge takes
time_above | s | time a place stays over the release temperature
times | 1 | how often
tip_angle | rad | angle of the ground tungsten
to | rad | clock position where something ends
to_height | m | height where a layer ends
torch | m3 | argon through the torch
torch_flow | m3_s | flow through the torch
total | s | time of all of it
total_argon | m3 | argon of all of it
trail | m3 | argon through the trailing shield
trail_flow | m3_s | flow through the trailing shield | trailing gas (AWS A3.0)
travel | m_s | speed of the arc along the joint | travel speed (AWS A3.0)
travel_max | m_s | fastest travel the procedure allows
travel_min | m_s | slowest travel the procedure allows
tungsten_diameter | m | diameter of the tungsten
turned | rad | how far the pipe has been rolled
until | s | when a countdown ends
usable_argon | m3 | argon that may be drawn before the heel
vent | frac | oxygen at the vent
vent_area | m2 | area of the vent
vent_diameter | m | diameter of the vent
vent_needed | m m2 | vent that keeps the pressure at its limit
vent_target | frac | what to see at the vent before the root may be taken to be there
ventilation | m3_s | fresh air through a room
voltage | V | arc voltage
volume | m3 | volume of gas
volumes | 1 | volumes of argon that a purge takes
wait | s | time after arc-off until the probe stays under the interpass limit
wall | m | thickness of the pipe's wall
wall_max | m | thickest wall of a row
wall_min | m | thinnest wall of a row
wanted_argon | m3 | argon that the runs ahead and their cooling want, reserve included
warm | K | how hot each place of a map is
water_volume | m3 | what a cylinder holds of water
width | frac m | how wide a picture stands, as a share of the page
wind | Pa m_s | speed of a draught, or its pressure on an opening
"""
