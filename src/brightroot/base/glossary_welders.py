"""Names of who may weld what: stem | units it is used with | meaning | a standard's term, from memory."""

WELDERS = """
answers | - | one answer for each variable, failing first
changes | - | variables that a new coupon would change
coupon | - | a test weld | test coupon
date | - | local day, as typed
evidence | - | what shows it: a weld's id, a paper, a hash
filler_form | - | solid, metal cored or flux cored rod | filler metal product form
filler_used | - | whether rod was added
gas_backing | - | whether inert gas backed the root
insert | - | whether a consumable insert was used
issued_on | - | day on which a certificate was issued
mend | - | the least that would change a no
metals | - | grades of both ends
on | - | local day asked about
p_numbers | - | base metal groups of both ends | P-Number (ASME IX)
planned_on | - | local day on which a joint is planned
plate | - | whether it is a plate and no pipe
process | - | welding process
progression | - | up or down in a vertical weld
qualification | - | what a coupon earned a welder
renewed_on | - | days of renewal coupons or welds that passed
report | - | the paper that a test's result stands on
rests_on | - | rows that other facts were looked up in
revoked_on | - | day on which a qualification was revoked
row | - | one row of a code's table
test | - | which test was made
tests | - | tests of a coupon and their results
variable | - | what may not change beyond its range | essential variable (ASME IX)
waits_for | - | rows from memory that nobody has confirmed
weld | - | id of a weld
welded_on | - | local day on which a coupon was welded
welder | - | stamp of a welder
with_qualification | - | a second qualification that counts with the first
"""
