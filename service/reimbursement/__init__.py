"""Business miles, claims and statements: what an employer owes, by which rule, and who said so.

Not tax advice: it applies dated rules that name their source, and says so wherever it shows money.
"""
