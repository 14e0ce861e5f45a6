"""What a household hangs up or hands over: the week sheet, day cards, the handover, a course's booklet."""
