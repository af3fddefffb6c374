"""What planning does: gather inputs, plan and store, run many homes in chunks, answer questions."""
