"""How fast: one workload in the terms of several engines, and the real rulebook on real jobs. Not part of the tests.

    python -m tests.benchmarks

wants the packages of the extra `bench`. It prints medians of five and ratios measured in one run; machines differ, so only
the ratios say something.
"""
