"""What will be printed, seen before it is: editions, papers and sheets."""
