"""Names of what is no number: stem | units where it also has one | meaning | a standard's term, from memory."""

WORDS = """
against | - | what an instrument was checked with
air | - | readings of the room's air
air_change | - | how fresh air gets into a space: none, drawn out, or blown in
air_seconded | - | air readings that a second stamp stands behind
aliases | - | other names of a grade
alloy | - | the metal of one end
alloys | - | all grades of the library
amps | - | practice currents by wall
arc | s | a stretch of the clock that is opened, welded and closed as one
arc_on_run | - | the run whose arc is burning
arcs | - | all such stretches of a joint
arcs_open | - | those without tape now
arrangement | - | how colour lies on a bead
as_entered | - | what a person typed, verbatim
asks | - | what would answer an unknown clause
axis | - | how the pipe lies
backing_required | - | whether the family needs backing gas
backing_until | - | how long the procedure keeps the backing gas on
band | - | root, hot, fill or cap on the clock face; on a chart, a range
bands | - | those bands from the inside out
because | - | why: message ids with what fills them
began | s | when a doubtful stretch of samples began
believed | - | samples outside every doubtful stretch
blocks | - | pieces of a document
brushed | s | whether, or when, a bead was brushed
by | - | the stamp of who recorded it; of what is owed, the role that owes it
by_hand | - | whether a person may record this kind
by_what | - | what touched a surface
caption | - | what a picture shows
cautions | - | warnings that go with a step
cells | - | sourced values by name
centre | - | words in the middle of the clock face
check | - | which of the eight checks a clause makes
checks | - | instruments checked
choices | - | the answers a field takes
circuit | - | which gas line: torch, trail or backing
clause | - | id of one rule
clauses | - | rules of a code
closing | - | whether the joint closes the line, so that nothing can be pulled out afterwards
code | - | id of a code's edition
codes | - | all codes of the library
composition | - | what a filler is made of, in words
concerns | - | what the plan wants known before starting
corrected | - | which event corrects which
corrects | - | the event that this one corrects
covers | - | what a code's folder covers
curves | - | properties over temperature
cut | - | whether a tack or a rod's tip was cut off
cut_before_run | - | the run before which a tack is cut out
dam_kind | - | what the dams are made of
dams_in | - | ends with a dam still inside
data | - | the facts of an event
dated | s | the time of what a document tells
datum | - | what twelve o'clock is on this pipe
departures | - | where the work left the plan
device | - | where an event was recorded
digest | - | hash over all facts
dipped | - | whether the tungsten touched the puddle
doubted | - | stretches of samples that are not believed
doubtful | - | why an instrument's samples were not believed at the end of a block
doubts | - | draughts, faltering gas and the like, as recorded
drawing | - | number of the drawing
dry | - | whether the surface had dried
due | - | the kind of entry from which on something is owed
edition | - | edition of a code or specification
end | - | which side of the joint
end_a | - | the first side
end_b | - | the far side
epoch | - | which life of a device's store
event | - | id or kind of an event
example | - | how an answer may look
f_number | - | filler group of a qualification code | F-Number (ASME IX)
fact | - | name of a recorded or declared fact
facts | - | what a joint was declared from
families | - | all metal families
family | - | metal family: the whole set-up changes with it
feathered | - | whether a tack's ends were ground thin
fields | - | facts that a kind of event has
figure | - | key of a number of the plan
figures | - | numbers of the plan by key
fill | - | gas cylinder fill; in a family, the current of fill passes
filler | - | class of the rod | filler metal classification (AWS A5.16)
filler_note | - | what to know of the choice of rod
fillers | - | rods: of a grade, of the library, or as issued
fit_up | - | gap and step as measured round the joint
fitting | - | what the end belongs to
fitting_a | - | the same for the first end
fitting_b | - | the same for the far end
flows | - | changes of flow
foot | - | line at the foot of every page
form | - | form of the joint
from_events | - | events that prove it
from_utc | - | time of the first sample of a block
gases | - | properties of gases
got | - | what was found
grade | - | grade on the pipe
groove | - | how the edges are prepared
group | - | where in the form or the work it belongs
head | - | hash of the last event, printed on paper; of a table, its first row
heat | - | heat number of the pipe | heat (mill certificate)
heats | - | heats recorded
hold_point | - | a point of the inspection plan where work stops for somebody | hold point (ITP)
hold_points | - | all of them
how | - | in what way
id | - | name that is used once
instrument | - | which instrument
iso | - | name of the position by ISO | ISO 6947
issued | - | dossiers issued
item | - | what was looked for
joint | - | one girth butt, or its id
joint_id | - | id of the joint
kind | - | what sort it is
label | - | words beside a run
labels | - | what goes into each box
language | - | two letters of a language
left_out | - | what a code's folder leaves out
level | - | how serious, or how deep a heading
library_digest | - | hash of the facts that were used
lifted | s | when the shield was lifted
lifted_event | - | the event that says so
limits | - | lines that a course is held against
lines | - | temperatures worth a line on a map, with their words
log_y | - | whether a chart's height is in powers of ten
lot | - | lot of the rod
made | - | whether a run was made or is planned
made_with | - | version of the program
marks | - | tacks, readings and photos on the clock face; instants on a chart
measures | - | what an instrument measures
met | - | when a limit is met, early, likely, late
metal_b | - | grade of the far side
method | - | how the temperature was read
moment | - | when a picture is of
monitor | - | which oxygen monitor read the air
name | - | what it is called
note | - | what else is to be known
noticed | s | when a doubt could first be told
nps | - | nominal pipe size | NPS (ASME B36.10M)
number | - | which pass or run; in advice, the one figure
on_fail | - | what to do where a clause fails
order | - | in which order
outcome | - | fail, unknown, pass or not applicable
owed | count | how much was still owed
owing | - | by what a clause asks: who owes it, from when on
p_number | - | metal group of a qualification code | P-Number (ASME IX)
paper | - | a4 or letter; of a concession, the number of its paper
params | - | what fills a message
pass_name | - | root, hot, fill or cap
pass_number | - | which pass
passes | - | the layers of the weld
photo_sha256 | - | hash of the photo
photos | - | photos taken
pipe | - | size of the pipe
pipe_b | - | size of the far pipe
pipes | - | pipe sizes of the tables
place | - | where it was read
plan_sha256 | - | hash of the plan
points | - | points of a line
position | - | test position | QW-461.4 (ASME IX)
practice | - | values of common practice that belong to no metal
prev | - | hash of the event before
procedure | - | the written procedure and its limits | WPS
proofs | - | gas as it was proved before the first joint
puddle | - | how a scrap puddle looked under that gas
purge | m3 | how argon gets in and air gets out
purge_course | - | all that changes a purge's course, in time
purged | - | whether a tack was made under argon
qr | - | what the square code on paper says
read | - | what was read, and where
read_name | - | words for what was read
ref | - | where in the code
required | - | whether it must be answered
result | - | how a check came out
role | - | in which role it was signed
rolled | - | whether the pipe turns
root | - | in a family, the current of the root
roots | - | looks at the root
rows | - | lines of a table
runs | - | runs: planned, made or drawn
samples | count | values as an instrument sent them
samples_sha256 | - | hash of the block of samples
says | - | id of a message, or a clause in our own words
schedule | - | wall series of a pipe | schedule (ASME B36.10M)
seen | - | whether a defect was seen
seq | - | number in a device's log
series | - | lines of a chart
set_up | - | how the machine and the torch are set; in a purge, how it is fed and vented
shape | - | whether a tack bridges the gap or fills it
side | - | outside or inside
signatures | - | who signed, in which role
since | s | since when something is owed
size | - | size of the pipe as typed
solvent | - | what the surface was wiped with
source | - | id of a source
sources | - | all sources by id
spaces | - | the space in which the work is done, as described
specification | - | specification of a filler
stamp | - | a person as their stamp | welder's stamp
stamps | - | stamps put beside the weld
standing | - | how well a number is known
started_event | - | the event of arc-on
state | - | what the display showed, or how a run stands
steps | - | what to do, in order
stopped_event | - | the event of arc-off
streams | - | blocks of samples that instruments sent
strong | - | whether it is printed heavy
subject | - | what a clause or a photo is about
subtitle | - | line under the title
summary | - | headline figures kept in the log itself
svg | - | a drawing as text
table | - | name of a code's table
tables | - | tables of a code
tack | - | name of a tack
tacks | - | all tacks
tag | - | which instrument, by its tag
tape_known | - | whether any taping was recorded
temperatures | - | temperatures read
text | - | words
tint | s | colour seen, or when it was seen | discolouration
tint_criterion | - | which colour rule the procedure names
tint_event | - | the event that says the colour
tint_model | - | whether growth is predicted for this family
tip | - | how the rod's tip looked
title | - | title of a document, a code or a chart
trailing_required | - | whether the family needs a trailing shield
uns | - | unified number of a grade | UNS
until_utc | - | time of the last sample of a block
us | - | whether a drawing shows °F and inches
value | - | the number itself
version | - | form of an event's facts
view | - | from where the clock face is seen
visual | - | visual examination, item by item | VT
wanted | - | what was asked for
what | - | what happened, or which of several
when | - | where a clause applies
why | - | in the person's own words, why
widths | - | relative widths of a table's columns
withdrawn | - | events that were withdrawn
words | - | what was said with a signature; in a family, message ids
work | - | what was done to a surface
x_label | - | words along a chart
y_digits | - | digits on a chart's height
y_label | - | words up a chart
"""
