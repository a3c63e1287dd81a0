# The least cost of feeding the devices of a system, each on a feed of its own or
# as a branch of a trunk to a fused block, with every choice left open at once: a
# mixed integer program in GNU MathProg, for glpsol.
#
# The data are what may be built and what each part of it costs and loses. Which
# parts go together is decided here alone. Costs are in billionths of the shop's
# currency, whole numbers below 2^53, so that doubles hold them exactly; drops are
# in millivolts. The model is solved twice. First "ranking" is 1, and the posts
# that must be crowded are counted; then it is 0, and "crowding" lets those be
# crowded and no others, while the cost falls as far as it can.

param ranking binary;

# ---- Devices and their feeds -----------------------------------------------

set BATTERIES;
set DEVICES;
param battery{DEVICES} symbolic in BATTERIES;
param cabled{DEVICES} binary;               # the return is a cable, not the body

set SINGLES within DEVICES;                 # those that a feed of their own can serve
param single_cost{SINGLES} integer, >= 0;

# ---- Blocks, trunks and branches --------------------------------------------

# A block is a fused block, with its bus, in a zone: that zone's own, or a hub,
# which is offered every circuit of its battery. A place with more circuits than a
# block has ways is divided into parts, with blocks for each.
set BLOCKS;
param block_battery{BLOCKS} symbolic in BATTERIES;
param block_zone{BLOCKS} symbolic;
param part{BLOCKS} integer, >= 1;
param hub{BLOCKS} binary;
set PLACES{a in BATTERIES, h in 0..1} := setof{b in BLOCKS: block_battery[b] = a and hub[b] = h} (block_zone[b], part[b]);
set HUB_ZONES{a in BATTERIES} := setof{(z, p) in PLACES[a, 1]} z;

# What the ways of a block can feed, it feeds.
set FED{BLOCKS} within DEVICES;
set MEMBERS := setof{b in BLOCKS, d in FED[b]} (b, d);

# A trunk is a cable with its main fuse and holder; its cost includes the block.
set TRUNKS{BLOCKS};
param trunk_cost{b in BLOCKS, TRUNKS[b]} integer, >= 0;

# A branch is a cable with the fuse in the block's way.
set BRANCHES{MEMBERS};
param branch_cost{(b, d) in MEMBERS, BRANCHES[b, d]} integer, >= 0;
param branch_fuse{(b, d) in MEMBERS, BRANCHES[b, d]} symbolic;

# ---- Voltage drop ------------------------------------------------------------

# In the conductors and in all, engine running, and in all, engine off. A device
# that is not used with the engine off has no limit there.
set JUDGED{MEMBERS} within {"conductors", "total", "off"};
param limit{(b, d) in MEMBERS, JUDGED[b, d]};
param branch_drop{(b, d) in MEMBERS, BRANCHES[b, d], JUDGED[b, d]};

# A circuit whose return is on the body shares the trunk's feed side (0), one that
# comes back on cable its return side too (1).
param trunk_drop{b in BLOCKS, TRUNKS[b], 0..1, {"conductors", "total", "off"}};

# ---- Short circuits ----------------------------------------------------------

# Trunks that let more current through than a branch fuse can break.
set BRANCH_FUSES{(b, d) in MEMBERS} := setof{o in BRANCHES[b, d]} branch_fuse[b, d, o];
set FUSES := setof{(b, d) in MEMBERS, f in BRANCH_FUSES[b, d]} (b, f);
set TOO_STRONG{(b, f) in FUSES} within TRUNKS[b], default {};

# Trunks behind which a branch does not clear a short at its far end.
set UNCLEARED{(b, d) in MEMBERS, o in BRANCHES[b, d]} within TRUNKS[b], default {};

# ---- Battery posts -----------------------------------------------------------

param stud_limit integer, >= 1;             # terminals that a post should bear
param crowding{BATTERIES} binary, default 1;

# ---- The choice --------------------------------------------------------------

var alone{SINGLES} binary;
var trunk{b in BLOCKS, TRUNKS[b]} binary;
var branch{(b, d) in MEMBERS, BRANCHES[b, d]} binary;
var at_hub{a in BATTERIES, HUB_ZONES[a]} binary;   # the battery has its hub in the zone
var crowded{BATTERIES} binary;

minimize goal:
    if ranking then sum{a in BATTERIES} crowded[a]
    else sum{d in SINGLES} single_cost[d] * alone[d]
       + sum{b in BLOCKS, k in TRUNKS[b]} trunk_cost[b, k] * trunk[b, k]
       + sum{(b, d) in MEMBERS, o in BRANCHES[b, d]} branch_cost[b, d, o] * branch[b, d, o];

s.t. fed_once{d in DEVICES}:
    sum{s in SINGLES: s = d} alone[s] + sum{b in BLOCKS, k in TRUNKS[b]: d in FED[b]} trunk[b, k] = 1;

# One branch to each member of a block that has a trunk, none behind the others.
s.t. branch_behind_block{(b, d) in MEMBERS}:
    sum{o in BRANCHES[b, d]} branch[b, d, o] = sum{k in TRUNKS[b]} trunk[b, k];

# A part of a zone has one trunk at most, and none where the battery has a hub.
s.t. one_trunk{a in BATTERIES, (z, p) in PLACES[a, 0]}:
    sum{b in BLOCKS, k in TRUNKS[b]: block_battery[b] = a and not hub[b] and block_zone[b] = z and part[b] = p} trunk[b, k]
  + sum{h in HUB_ZONES[a]} at_hub[a, h] <= 1;

# A battery has one hub at most, with one trunk for each of its parts.
s.t. one_hub{a in BATTERIES}:
    sum{h in HUB_ZONES[a]} at_hub[a, h] <= 1;

s.t. hub_part{a in BATTERIES, (z, p) in PLACES[a, 1]}:
    sum{b in BLOCKS, k in TRUNKS[b]: block_battery[b] = a and hub[b] and block_zone[b] = z and part[b] = p} trunk[b, k] <= at_hub[a, z];

s.t. drop{(b, d) in MEMBERS, l in JUDGED[b, d]}:
    sum{k in TRUNKS[b]} trunk_drop[b, k, cabled[d], l] * trunk[b, k]
  + sum{o in BRANCHES[b, d]} branch_drop[b, d, o, l] * branch[b, d, o]
 <= limit[b, d, l] * sum{k in TRUNKS[b]} trunk[b, k];

s.t. fault{(b, d) in MEMBERS, f in BRANCH_FUSES[b, d]: card(TOO_STRONG[b, f]) > 0}:
    sum{o in BRANCHES[b, d]: branch_fuse[b, d, o] = f} branch[b, d, o]
  + sum{k in TOO_STRONG[b, f]} trunk[b, k] <= 1;

s.t. short{(b, d) in MEMBERS, o in BRANCHES[b, d]: card(UNCLEARED[b, d, o]) > 0}:
    branch[b, d, o] + sum{k in UNCLEARED[b, d, o]} trunk[b, k] <= 1;

# Every return has its feed, so the positive post bears the most.
s.t. post{a in BATTERIES}:
    sum{d in SINGLES: battery[d] = a} alone[d]
  + sum{b in BLOCKS, k in TRUNKS[b]: block_battery[b] = a} trunk[b, k]
 <= stud_limit + card(DEVICES) * crowded[a];

s.t. no_more_crowding{a in BATTERIES}: crowded[a] <= crowding[a];

solve;

printf{a in BATTERIES: crowded[a] > 0.5}: "CHOSEN crowded %s\n", a;
printf{d in SINGLES: alone[d] > 0.5}: "CHOSEN alone %s\n", d;
printf{b in BLOCKS, k in TRUNKS[b]: trunk[b, k] > 0.5}: "CHOSEN trunk %s %s\n", b, k;
printf{(b, d) in MEMBERS, o in BRANCHES[b, d]: branch[b, d, o] > 0.5}: "CHOSEN branch %s %s %s\n", b, d, o;

end;
