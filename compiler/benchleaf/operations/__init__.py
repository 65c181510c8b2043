"""Operations: what to do, one package or module for each; they ask kinematics and standards, and lay out sections of a sheet."""
