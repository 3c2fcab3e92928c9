"""The laws of all kinds, linked by hand: one line a kind and phase.

Blocks are numbered from KIND_BLOCKS on, in the order of `BLOCK_NAMES`.
"""

from brinewright.jit import inner
from brinewright.kernel.layout import KIND_BLOCKS
