"""The linear relaxation: restricted master problem, pricing problem, lower bound."""
