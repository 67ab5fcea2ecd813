"""What the two pH calculators say about their answers; there are no calculators in here."""

KIT_HALF_STEP = 9.0  # common-practice: a drop of a common kit is 1 dKH, 18 mg/L
METER_ERROR = 0.1  # pH; common-practice
STRENGTH_LOSS = 10.0  # percent; common-practice for damp or old product
UNSURE_PH = 7.5  # above, the pH of water shut off from gas hangs on small errors (phreeqc)
