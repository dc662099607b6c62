"""What holds, against published and hand-worked examples, each with its source beside it."""
