"""Numbers from strands: size, joints, bending. Arithmetic alone; the same in an estimate and in a build."""
