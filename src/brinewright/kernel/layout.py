"""Where everything stands in the flat arrays.

State:   X  every value that changes; the recorded channels come first
         E  energy of a thermal node [J], at the index of its temperature in X
         C  inverse heat capacity of a node [K/J]; 0 for a boundary or an account
         F  1 where a forced signal holds X
         J  integers that change: parcel queues, pointers; J[0] is the latest mark
         Q  parcels of all queues, rows of mass [kg], temperature [K] and mark
         B, BN  packets that leave each branch in this step, and how many
         E0, R  energy at the start of the step [J], rate of a node's temperature [K/s]
Tables:  P  numbers, I  integers (indices), W  water and steam, H  where each block starts

A block is `count` records of fixed width in I and P.  The header H holds, for block b,
count at 3 b, first integer at 3 b + 1, first number at 3 b + 2.
"""

# blocks of the kernel itself; blocks of the kinds follow from KIND_BLOCKS on
RUNS, BRANCHES, JUNCTIONS, TANKS, ISLANDS = 0, 1, 2, 3, 4
EDGES, HEATS, SENSORS, SWITCHES, LOGICS = 5, 6, 7, 8, 9
COMMANDS, WATCHES, SCHEDULES, FORCES = 10, 11, 12, 13
LOADS, FEEDERS, BUSES, BATTERIES = 14, 15, 16, 17
AHEADS, TRANSFORMERS, GRIDS, DERATINGS = 18, 19, 20, 21
QUEUES = 22
KIND_BLOCKS = 23
BLOCKS = 96

# H beyond the blocks: plain numbers
H_RECORDED = 3 * BLOCKS
H_QUICK = H_RECORDED + 1
"""Where recorded values end that may change while machines tick by themselves; they come behind all nodes."""
H_LIMIT = H_RECORDED + 2
"""Longest step in ticks."""
H_APART = H_RECORDED + 3
"""1 if some machines may tick by themselves inside a longer step of the liquid."""
H_SWITCHES = H_RECORDED + 4
"""How many switches are not of those machines; they come first in their block."""
NODES = 4
"""Where thermal nodes start in X: after what has a fixed place."""
H_SETTLED, H_NODES = H_RECORDED + 6, H_RECORDED + 7
"""Where the plain nodes that are not of those machines end, and where all that are not end."""
H_APART_SETTLED, H_APART_NODES = H_RECORDED + 8, H_RECORDED + 9
"""The same for the nodes of those machines, which come behind."""
H_EDGES, H_APART_EDGES = H_RECORDED + 10, H_RECORDED + 13
"""Where edges start in I that are not of those machines, and that are: between nodes, to boundaries, of
light nodes; then where they end."""
H_STRIDES = H_RECORDED + 24
"""From here on, for block b: width of its record in I at 2 b, in P at 2 b + 1."""
H_SIZE = H_STRIDES + 2 * BLOCKS

# queue of parcels: a stretch of lines, or a tank from which what came first leaves first.  QU_RUNS
# and QU_RUNS_P start the records of its runs, one behind the other from its inlet to its outlet
QU_FIRST, QU_ROOM, QU_J, QU_STATE, QU_RUNS, QU_RUNS_P, QU_NRUNS = 0, 1, 2, 3, 4, 5, 6
QU_I = 7
"""QU_J leads to the place of the first parcel in its ring, their number, and 1 if they were cut at rest."""
QU_MASS, QU_SLOT, QU_CP = 0, 1, 2
QU_P = 3

# run, one line of a stretch: integers, numbers, and what it is in the present step, in X
RUN_NODE, RUN_UA, RUN_HEAT, RUN_MEAN, RUN_LOSS, RUN_IN, RUN_OUT = 0, 1, 2, 3, 4, 5, 6
RUN_I = 7
"""RUN_MEAN and RUN_LOSS are -1 where nobody asks for the mean temperature and the lost heat."""
RUN_MASS, RUN_RATE, RUN_BELOW = 0, 1, 2
RUN_P = 3
"""RUN_BELOW is what its stretch holds between the run and the stretch's outlet [kg]."""
S_BOTTOM, S_RATE, S_TOWARDS, S_SHARE, S_GAIN, S_SUM = 0, 1, 2, 3, 4, 5
RUN_X = 6
"""Runs from the one that is entered to the one that is left: what the stretch holds behind it [kg]; the
rate [1/s] at which it follows its node, the node's temperature [K], the share that a step closes of what
is between; what it gained and what it holds, as mass times temperature [kg K]."""

# branch
BR_TAIL, BR_HEAD, BR_ITEMS, BR_COUNT, BR_FLOW, BR_CAPS, BR_NCAPS, BR_RANK = 0, 1, 2, 3, 4, 5, 6, 7
BR_EARLY, BR_HYDRAULIC, BR_NHYDRAULIC, BR_CAP = 8, 9, 10, 11
BR_I = 12
BR_CP = 0
BR_P = 1
PACKETS = 48
"""Room for packets of one branch and step."""

# item of a branch: what stands in it, in flow order
IT_BLOCK, IT_I, IT_P, IT_IN, IT_OUT, IT_STEADY = 0, 1, 2, 3, 4, 5
IT_I_WIDTH = 6

# hydraulic element of a branch in a pressure island.  Places in X: quadratic and linear
# resistance, head and droop of a pump, greatest flow (0 is shut), pressure where it begins,
# pressure lost in it, flow for which its friction holds; HY_NUMBERS leads to its numbers in P
HY_QUADRATIC, HY_LINEAR, HY_HEAD, HY_DROOP, HY_CAPACITY = 0, 1, 2, 3, 4
HY_PRESSURE, HY_LOSS, HY_HOLDS_AT, HY_NUMBERS, HY_CHECK = 5, 6, 7, 8, 9
HY_WIDTH = 10
HN_LEVEL, HN_LENGTH, HN_BORE, HN_ROUGHNESS, HN_FITTINGS = 0, 1, 2, 3, 4
HN_WIDTH = 5
"""Without length and fittings an element has no friction of its own."""

# junction
JU_TANK, JU_IN, JU_NIN, JU_OUT, JU_NOUT, JU_T, JU_FLOW = 0, 1, 2, 3, 4, 5, 6
JU_I = 7

# tank
TK_LAW, TK_NODE, TK_MASS, TK_LEVEL, TK_JUNCTION, TK_QUEUE, TK_QUEUE_P = 0, 1, 2, 3, 4, 5, 6
TK_LAYERS, TK_NLAYERS = 7, 8
TK_OUTFLOW, TK_AROUND, TK_UA, TK_LOSS = 9, 10, 11, 12
TK_I = 13
"""TK_AROUND is what a tank that does not mix loses heat to, -1 for nothing; JU_FLOW has the inflow."""
TK_MIN, TK_MAX, TK_CP, TK_SPREAD, TK_BASE, TK_HEIGHT, TK_GAS, TK_FULL = 0, 1, 2, 3, 4, 5, 6, 7
TK_INLET, TK_OUTLET = 8, 9
TK_P = 10
"""TK_SPREAD is conductivity times cross-section [W m/K]; TK_INLET, TK_OUTLET are shares of the height."""
MIXED, FIRST_IN_FIRST_OUT, STRATIFIED = 0, 1, 2
PLENTY = 1e6
"""What a tank far from its limits can give or take, and what no limit means [kg/s]."""

# island: one liquid circuit; law 0 ranked, 1 pressure.  IS_TANKS lists tank records,
# IS_PLAN the order of claims; IS_HF and IS_HI start its room in the work arrays
IS_LAW, IS_BRANCHES, IS_NBRANCHES, IS_TANKS, IS_NTANKS, IS_PLAN, IS_NPLAN, IS_HF, IS_HI, IS_STANDING = (
    0,
    1,
    2,
    3,
    4,
    5,
    6,
    7,
    8,
    9,
)
IS_NF, IS_NI, IS_CAPS, IS_NCAPS, IS_HELD = 10, 11, 12, 13, 14
IS_I = 15
IS_GRAVITY, IS_DENSITY, IS_VISCOSITY, IS_REFERENCE = 0, 1, 2, 3
IS_P = 4
RANKED, PRESSURE = 0, 1
REMEMBERED = 24
"""Solutions that an island keeps."""

# what is about to meet a law: branch, item in it
AH_BRANCH, AH_ITEM = 0, 1
AH_I = 2

# edge between two nodes, heat from an account into a node
ED_A, ED_B, ED_G = 0, 1, 2
ED_I = 3
HE_NODE, HE_WATTS, HE_FROM = 0, 1, 2
HE_I = 3

# sensor: 0 a place in a run, 1 any value of X
SE_TYPE, SE_SOURCE, SE_READING, SE_FLOW, SE_STILL, SE_AMBIENT, SE_BRANCH, SE_ITEM = 0, 1, 2, 3, 4, 5, 6, 7
# SE_MOUTH is the node of the mixed tank whose outlet it is at, or -1
SE_MOUTH = 8
SE_I = 9
SE_FROM_OUTLET = 0
SE_PW = 1
STILL_LOCAL, STILL_AMBIENT, STILL_HOLDS = 0, 1, 2

# switch
SW_READING, SW_FILTERED, SW_OUT, SW_SENSE, SW_INCLUSIVE, SW_SET, SW_COUNT, SW_SLOPE, SW_NATURE, SW_SENSOR = (
    0,
    1,
    2,
    3,
    4,
    5,
    6,
    7,
    8,
    9,
)
SW_BEFORE, SW_BEND, SW_NODE, SW_TANK, SW_EDGES, SW_NEDGES, SW_RUNS, SW_NRUNS = 10, 11, 12, 13, 14, 15, 16, 17
SW_DECAYS, SW_JUMPS, SW_SHOWN, SW_LASTED = 18, 19, 20, 21
SW_I = 22
"""SW_SLOPE and SW_BEND are the rate of the raw reading and the rate of that; what touches the node that
is read stands in SW_EDGES (conductance, other node) and SW_RUNS (run in I and in P, branch, item).
SW_DECAYS leads into P: what is left after 0, 1, 2 ... ticks of a distance that its filter closes.
In the last tick of a step of SW_JUMPS ticks the reading jumps, from SW_SHOWN; SW_LASTED is the
length of the step before [s]."""
SW_DIFFERENTIAL, SW_LAG = 0, 1
SW_P = 2
NATURE_PIPE, NATURE_SLOW, NATURE_STEP, NATURE_FAST = 0, 1, 2, 3

# logic
LO_DOES, LO_OUT, LO_IN, LO_NIN, LO_RESET, LO_NRESET, LO_CLOCK = 0, 1, 2, 3, 4, 5, 6
LO_I = 7
LO_ON, LO_OFF = 0, 1
LO_P = 2
AND, OR, NOT, LATCH, TIMER = 0, 1, 2, 3, 4

# command: made while all its signals agree
CO_OUT, CO_IN, CO_NIN = 0, 1, 2
CO_I = 3

# watch
WA_VALUE, WA_SENSE, WA_STATE, WA_STOPS, WA_BEFORE, WA_SLOPE = 0, 1, 2, 3, 4, 5
WA_I = 6
"""WA_SLOPE is the rate at which the value moved last, WA_BEFORE what it was."""
WA_LIMIT, WA_BACK, WA_FOR = 0, 1, 2
WA_P = 3

# schedule, with all places that follow it; force: FO_BACK says whether the value comes back when the
# force lets go, FO_SAVED keeps it
SC_OUTS, SC_NOUTS, SC_N, SC_RAMP, SC_POINTS, SC_J = 0, 1, 2, 3, 4, 5
SC_I = 6
SC_PERIOD = 0
SC_P = 1
FO_OUT, FO_N, FO_POINTS, FO_J, FO_ACTIVE, FO_SAVED, FO_BACK = 0, 1, 2, 3, 4, 5, 6
FO_I = 7
FO_END = 0
FO_P = 1

# derating: a capacity, the forced share of it, and where their product stands
DE_CAPACITY, DE_SHARE, DE_OUT = 0, 1, 2
DE_I = 3

# electricity.  LD_ASKS tells whether a load would run if it had power, LD_ORDER when it is shed
LD_POWER, LD_ON, LD_ASKS, LD_FEEDER, LD_ORDER, LD_SHED, LD_BEFORE = 0, 1, 2, 3, 4, 5, 6
LD_I = 7
LD_RATED, LD_STARTING = 0, 1
LD_P = 2
# loss and drop of a feeder are those at its limit
FD_BUS, FD_POWER, FD_ASKED, FD_LOSS, FD_DROP, FD_CLOSED, FD_COMMAND, FD_TRIPPED = 0, 1, 2, 3, 4, 5, 6, 7
FD_CLOCK, FD_SLOPE, FD_OPENS = 8, 9, 10
FD_I = 11
FD_LIMIT, FD_LOAD_LOSS, FD_LOAD_DROP, FD_AFTER, FD_AGAIN = 0, 1, 2, 3, 4
FD_P = 5
TR_SUPPLY, TR_BUS, TR_POWER, TR_LOSS, TR_CLOSED, TR_COMMAND, TR_TRIPPED, TR_OPENS = 0, 1, 2, 3, 4, 5, 6, 7
TR_I = 8
TR_RATING, TR_CORE, TR_WINDING = 0, 1, 2
TR_P = 3
GR_BUS, GR_POWER, GR_EXPORTED, GR_CLOSED, GR_COMMAND = 0, 1, 2, 3, 4
GR_I = 5
GR_IMPORT, GR_EXPORT = 0, 1
GR_P = 2
BA_BUS, BA_STORED, BA_POWER, BA_CHARGE, BA_LOSS, BA_COMMAND, BA_GIVES, BA_TAKES = 0, 1, 2, 3, 4, 5, 6, 7
BA_I = 8
BA_CAPACITY, BA_FLOOR, BA_IN, BA_OUT, BA_MAX_IN, BA_MAX_OUT, BA_STANDING = 0, 1, 2, 3, 4, 5, 6
BA_P = 7
BU_MADE, BU_DRAWN, BU_BALANCE, BU_IMPORTED, BU_SHORT, BU_SPILLED, BU_LIVE, BU_VOLTAGE = 0, 1, 2, 3, 4, 5, 6, 7
BU_STARTING, BU_DIP, BU_CLOCK, BU_MARGIN, BU_SLOPE, BU_WORK, BU_SHEDS, BU_MACHINES, BU_NMACHINES = (
    8, 9, 10, 11, 12, 13, 14, 15, 16
)  # fmt: skip
BU_NAPART, BU_LEAST, BU_FALL = 17, 18, 19
BU_I = 20
"""The last BU_NAPART machines may tick by themselves; BU_LEAST is the margin without them."""
BU_BACK, BU_NOMINAL, BU_LOWEST, BU_STRENGTH = 0, 1, 2, 3
BU_P = 4
# at a bus's BU_WORK: what it needs; what machines, batteries and grids can still give it; what
# batteries can give for long; what batteries and grids can still take; what could be had for
# long; how a search came here
WO_NEED, WO_MACHINES, WO_BATTERIES, WO_GRIDS, WO_LASTING, WO_CHARGE, WO_EXPORT, WO_SPARE, WO_DEPTH, WO_WAY = (
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9
)  # fmt: skip
WO_X = 10
