"""Before, on and after a visit: what to bring and ask, the sheet to fill in, the interview, the packet.

`prompts` asks one question, `interview` many: those of `short_start` first, the rest in the `order_of_asking`, with one
`tick_list` a station. `open_requirements` tells what rules still look at; `prep`, `sheet` and `open_readings` build on it.
`records` and `packet` are what is handed over.

Imports `batch` and what stands below it; not `authoring`.
"""
