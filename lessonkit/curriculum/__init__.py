"""Terms and curriculum: lessons placed in weeks, what they cover, what a level asks for, and a studio's house style."""
