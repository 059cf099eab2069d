"""Before, on and after a visit: what to bring and ask, the sheet to fill in, the interview, the packet.

`prompts` and `questions` ask for one fact or list, `interview` (a stack of each `position`) for many: those of `short_start`
first, the rest in the `order_of_asking`. A `tick_list` holds the plain yes or no of a station, `one_line` and `any_order` read
several facts of one thing, `changing` finds a question again, `settled` tells what an answer closed. `open_requirements` tells
what rules still look at; `prep`, `sheet` and `open_readings` build on it. `photographing` binds photographs to a job,
`accepting` records what the office accepts. `records` and `packet` are what is handed over, with its `packet_list`;
`handed_over` tells which of its fields are still to be asked, `packet_check` verifies a packet.
`zipped_job` reads what a phone handed over, `phone` is the page on it.

Imports `batch` and what stands below it; not `authoring`.
"""
