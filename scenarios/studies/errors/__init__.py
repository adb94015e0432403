"""How sure an answer is: measured errors and assumed values carried through."""
