"""The arithmetic behind safety answers: pilot and coding, cable, drop, demand, earthing, heat, extension leads.

Every function returns a frozen value with its working, which names the rule, the edition it was read in and
whether that is confirmed in the edition in force (``editions``, ``rules``). Tables are read row by row: input
beyond a table is refused with ``Rejected``, and nothing is extrapolated or interpolated.
"""
