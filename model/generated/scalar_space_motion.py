"""Scalar kernels: space_motion. Written by `python -m noseload.model.symbols.derive`; do not edit.

Operations: axle_moves 2013, axle_switches 195, axle_moving_seen 444, chassis_moves 452, axle_follows 207,
axle_drifts 1269, chassis_returns 504, axle_returns 353.
"""

from math import cos, sin, sqrt, tanh



def axle_moves(chassis, chassis_speeds, axle_state, axle_speeds, wheels, blocks, gravity, numbers):
    """S (28), p (7), losses (5, those of LOSSES), CARRIED; loads and switch values (2 + 8); slopes (4) and rows (4 x 6) of the slips; rows on the chassis' turning (5 x 3)."""
    (chassis_x, chassis_y, chassis_z, chassis_heading, chassis_pitch, chassis_roll,) = chassis
    (chassis_x_rate, chassis_y_rate, chassis_z_rate, chassis_heading_rate, chassis_pitch_rate,
        chassis_roll_rate,) = chassis_speeds
    (axle_x, axle_y, axle_z, axle_heading, axle_roll, axle_pitch,) = axle_state
    (axle_x_rate, axle_y_rate, axle_z_rate, axle_heading_rate, axle_roll_rate, axle_pitch_rate,) = axle_speeds
    (spin, grip_factor,) = wheels
    (left_block, right_block,) = blocks
    (gravity_x, gravity_y, gravity_z,) = gravity
    (rod_1_chassis_x, rod_1_chassis_y, rod_1_chassis_z, rod_1_axle_x, rod_1_axle_y, rod_1_axle_z,
        rod_2_chassis_x, rod_2_chassis_y, rod_2_chassis_z, rod_2_axle_x, rod_2_axle_y, rod_2_axle_z,
        rod_3_chassis_x, rod_3_chassis_y, rod_3_chassis_z, rod_3_axle_x, rod_3_axle_y, rod_3_axle_z,
        rod_4_chassis_x, rod_4_chassis_y, rod_4_chassis_z, rod_4_axle_x, rod_4_axle_y, rod_4_axle_z,
        rod_1_length, rod_2_length, rod_3_length, rod_4_length, shock_chassis_x, shock_chassis_y,
        shock_chassis_z, shock_axle_x, shock_axle_y, shock_axle_z, shock_chassis_shift, shock_axle_shift,
        spring_rate, damping, free_length, longest, shortest, stop_stiffness, stop_damping, wheel_x, wheel_y,
        wheel_z, half_track, tyre_radius, tyre_stiffness, tyre_damping, grip, slip_speed, slip_ratio_scale,
        rolling_resistance, contact_give, driven, driven_shaft, motor_ratio, mass, roll_inertia,
        pitch_inertia, wheels_inertia,) = numbers
    v1 = cos(chassis_heading)
    v2 = sin(chassis_heading)
    v3 = (-v2)
    v5 = cos(chassis_pitch)
    v6 = sin(chassis_pitch)
    v7 = (v1 * v6)
    v8 = (v1 * v5)
    v9 = (v2 * v6)
    v10 = (v2 * v5)
    v11 = (-v6)
    v13 = cos(chassis_roll)
    v14 = sin(chassis_roll)
    v17 = ((v3 * v13) + (v7 * v14))
    v20 = ((v7 * v13) - (v3 * v14))
    v23 = ((v1 * v13) + (v9 * v14))
    v26 = ((v9 * v13) - (v1 * v14))
    v27 = (v5 * v14)
    v28 = (v5 * v13)
    v33 = ((v3 * chassis_pitch_rate) + (v8 * chassis_roll_rate))
    v36 = ((v1 * chassis_pitch_rate) + (v10 * chassis_roll_rate))
    v39 = (chassis_heading_rate + (v11 * chassis_roll_rate))
    v41 = cos(axle_heading)
    v42 = sin(axle_heading)
    v43 = (-v42)
    v45 = cos(axle_roll)
    v46 = sin(axle_roll)
    v47 = (v43 * v45)
    v49 = (-(v43 * v46))
    v50 = (v41 * v45)
    v52 = (-(v41 * v46))
    v54 = cos(axle_pitch)
    v55 = sin(axle_pitch)
    v58 = ((v41 * v55) + (v49 * v54))
    v61 = ((v41 * v54) - (v49 * v55))
    v64 = ((v42 * v55) + (v52 * v54))
    v67 = ((v42 * v54) - (v52 * v55))
    v68 = (v45 * v54)
    v70 = (-(v45 * v55))
    v75 = ((v47 * axle_pitch_rate) + (v41 * axle_roll_rate))
    v78 = ((v50 * axle_pitch_rate) + (v42 * axle_roll_rate))
    v81 = (axle_heading_rate + (v46 * axle_pitch_rate))
    v89 = (((v8 * rod_1_chassis_x) + (v17 * rod_1_chassis_y)) + (v20 * rod_1_chassis_z))
    v94 = (((v10 * rod_1_chassis_x) + (v23 * rod_1_chassis_y)) + (v26 * rod_1_chassis_z))
    v99 = (((v11 * rod_1_chassis_x) + (v27 * rod_1_chassis_y)) + (v28 * rod_1_chassis_z))
    v102 = ((v36 * v99) - (v39 * v94))
    v105 = ((v39 * v89) - (v33 * v99))
    v108 = ((v33 * v94) - (v36 * v89))
    v131 = (((v61 * rod_1_axle_x) + (v47 * rod_1_axle_y)) + (v58 * rod_1_axle_z))
    v136 = (((v67 * rod_1_axle_x) + (v50 * rod_1_axle_y)) + (v64 * rod_1_axle_z))
    v141 = (((v70 * rod_1_axle_x) + (v46 * rod_1_axle_y)) + (v68 * rod_1_axle_z))
    v144 = ((v78 * v141) - (v81 * v136))
    v147 = ((v81 * v131) - (v75 * v141))
    v150 = ((v75 * v136) - (v78 * v131))
    v170 = (((v131 + axle_x) - v89) - chassis_x)
    v175 = (((v136 + axle_y) - v94) - chassis_y)
    v180 = (((v141 + axle_z) - v99) - chassis_z)
    v181 = ((v144 + axle_x_rate) - (v102 + chassis_x_rate))
    v182 = ((v147 + axle_y_rate) - (v105 + chassis_y_rate))
    v183 = ((v150 + axle_z_rate) - (v108 + chassis_z_rate))
    v186 = (1.0 / rod_1_length)
    v187 = (v170 * v186)
    v188 = (-v187)
    v189 = (v175 * v186)
    v190 = (-v189)
    v191 = (v180 * v186)
    v192 = (-v191)
    v209 = ((v136 * v192) - (v141 * v190))
    v212 = ((v141 * v188) - (v131 * v192))
    v215 = ((v131 * v190) - (v136 * v188))
    v225 = ((v99 * v190) - (v94 * v192))
    v226 = ((v89 * v192) - (v99 * v188))
    v227 = ((v94 * v188) - (v89 * v190))
    v246 = (((v8 * rod_2_chassis_x) + (v17 * rod_2_chassis_y)) + (v20 * rod_2_chassis_z))
    v251 = (((v10 * rod_2_chassis_x) + (v23 * rod_2_chassis_y)) + (v26 * rod_2_chassis_z))
    v256 = (((v11 * rod_2_chassis_x) + (v27 * rod_2_chassis_y)) + (v28 * rod_2_chassis_z))
    v259 = ((v36 * v256) - (v39 * v251))
    v262 = ((v39 * v246) - (v33 * v256))
    v265 = ((v33 * v251) - (v36 * v246))
    v285 = (((v61 * rod_2_axle_x) + (v47 * rod_2_axle_y)) + (v58 * rod_2_axle_z))
    v290 = (((v67 * rod_2_axle_x) + (v50 * rod_2_axle_y)) + (v64 * rod_2_axle_z))
    v295 = (((v70 * rod_2_axle_x) + (v46 * rod_2_axle_y)) + (v68 * rod_2_axle_z))
    v298 = ((v78 * v295) - (v81 * v290))
    v301 = ((v81 * v285) - (v75 * v295))
    v304 = ((v75 * v290) - (v78 * v285))
    v319 = (((axle_x + v285) - chassis_x) - v246)
    v322 = (((axle_y + v290) - chassis_y) - v251)
    v325 = (((axle_z + v295) - chassis_z) - v256)
    v326 = ((axle_x_rate + v298) - (chassis_x_rate + v259))
    v327 = ((axle_y_rate + v301) - (chassis_y_rate + v262))
    v328 = ((axle_z_rate + v304) - (chassis_z_rate + v265))
    v330 = (1.0 / rod_2_length)
    v331 = (v319 * v330)
    v332 = (-v331)
    v333 = (v322 * v330)
    v334 = (-v333)
    v335 = (v325 * v330)
    v336 = (-v335)
    v353 = ((v290 * v336) - (v295 * v334))
    v356 = ((v295 * v332) - (v285 * v336))
    v359 = ((v285 * v334) - (v290 * v332))
    v369 = ((v256 * v334) - (v251 * v336))
    v370 = ((v246 * v336) - (v256 * v332))
    v371 = ((v251 * v332) - (v246 * v334))
    v389 = (((v8 * rod_3_chassis_x) + (v17 * rod_3_chassis_y)) + (v20 * rod_3_chassis_z))
    v394 = (((v10 * rod_3_chassis_x) + (v23 * rod_3_chassis_y)) + (v26 * rod_3_chassis_z))
    v399 = (((v11 * rod_3_chassis_x) + (v27 * rod_3_chassis_y)) + (v28 * rod_3_chassis_z))
    v402 = ((v36 * v399) - (v39 * v394))
    v405 = ((v39 * v389) - (v33 * v399))
    v408 = ((v33 * v394) - (v36 * v389))
    v428 = (((v61 * rod_3_axle_x) + (v47 * rod_3_axle_y)) + (v58 * rod_3_axle_z))
    v433 = (((v67 * rod_3_axle_x) + (v50 * rod_3_axle_y)) + (v64 * rod_3_axle_z))
    v438 = (((v70 * rod_3_axle_x) + (v46 * rod_3_axle_y)) + (v68 * rod_3_axle_z))
    v441 = ((v78 * v438) - (v81 * v433))
    v444 = ((v81 * v428) - (v75 * v438))
    v447 = ((v75 * v433) - (v78 * v428))
    v462 = (((axle_x + v428) - chassis_x) - v389)
    v465 = (((axle_y + v433) - chassis_y) - v394)
    v468 = (((axle_z + v438) - chassis_z) - v399)
    v469 = ((axle_x_rate + v441) - (chassis_x_rate + v402))
    v470 = ((axle_y_rate + v444) - (chassis_y_rate + v405))
    v471 = ((axle_z_rate + v447) - (chassis_z_rate + v408))
    v473 = (1.0 / rod_3_length)
    v474 = (v462 * v473)
    v475 = (-v474)
    v476 = (v465 * v473)
    v477 = (-v476)
    v478 = (v468 * v473)
    v479 = (-v478)
    v496 = ((v433 * v479) - (v438 * v477))
    v499 = ((v438 * v475) - (v428 * v479))
    v502 = ((v428 * v477) - (v433 * v475))
    v512 = ((v399 * v477) - (v394 * v479))
    v513 = ((v389 * v479) - (v399 * v475))
    v514 = ((v394 * v475) - (v389 * v477))
    v532 = (((v8 * rod_4_chassis_x) + (v17 * rod_4_chassis_y)) + (v20 * rod_4_chassis_z))
    v537 = (((v10 * rod_4_chassis_x) + (v23 * rod_4_chassis_y)) + (v26 * rod_4_chassis_z))
    v542 = (((v11 * rod_4_chassis_x) + (v27 * rod_4_chassis_y)) + (v28 * rod_4_chassis_z))
    v545 = ((v36 * v542) - (v39 * v537))
    v548 = ((v39 * v532) - (v33 * v542))
    v551 = ((v33 * v537) - (v36 * v532))
    v571 = (((v61 * rod_4_axle_x) + (v47 * rod_4_axle_y)) + (v58 * rod_4_axle_z))
    v576 = (((v67 * rod_4_axle_x) + (v50 * rod_4_axle_y)) + (v64 * rod_4_axle_z))
    v581 = (((v70 * rod_4_axle_x) + (v46 * rod_4_axle_y)) + (v68 * rod_4_axle_z))
    v584 = ((v78 * v581) - (v81 * v576))
    v587 = ((v81 * v571) - (v75 * v581))
    v590 = ((v75 * v576) - (v78 * v571))
    v605 = (((axle_x + v571) - chassis_x) - v532)
    v608 = (((axle_y + v576) - chassis_y) - v537)
    v611 = (((axle_z + v581) - chassis_z) - v542)
    v612 = ((axle_x_rate + v584) - (chassis_x_rate + v545))
    v613 = ((axle_y_rate + v587) - (chassis_y_rate + v548))
    v614 = ((axle_z_rate + v590) - (chassis_z_rate + v551))
    v616 = (1.0 / rod_4_length)
    v617 = (v605 * v616)
    v618 = (-v617)
    v619 = (v608 * v616)
    v620 = (-v619)
    v621 = (v611 * v616)
    v622 = (-v621)
    v639 = ((v576 * v622) - (v581 * v620))
    v642 = ((v581 * v618) - (v571 * v622))
    v645 = ((v571 * v620) - (v576 * v618))
    v655 = ((v542 * v620) - (v537 * v622))
    v656 = ((v532 * v622) - (v542 * v618))
    v657 = ((v537 * v618) - (v532 * v620))
    v678 = (v8 * driven_shaft)
    v681 = (v678 - (v47 * driven))
    v682 = (v10 * driven_shaft)
    v684 = (v682 - (v50 * driven))
    v685 = (v11 * driven_shaft)
    v687 = (v685 - (v46 * driven))
    v688 = (-v678)
    v689 = (-v682)
    v690 = (-v685)
    v704 = (shock_chassis_shift + shock_chassis_y)
    v706 = ((v8 * shock_chassis_x) + (v20 * shock_chassis_z))
    v707 = (v706 + (v17 * v704))
    v711 = ((v10 * shock_chassis_x) + (v26 * shock_chassis_z))
    v712 = (v711 + (v23 * v704))
    v716 = ((v11 * shock_chassis_x) + (v28 * shock_chassis_z))
    v717 = (v716 + (v27 * v704))
    v736 = (shock_axle_shift + shock_axle_y)
    v738 = ((v61 * shock_axle_x) + (v58 * shock_axle_z))
    v739 = (v738 + (v47 * v736))
    v743 = ((v67 * shock_axle_x) + (v64 * shock_axle_z))
    v744 = (v743 + (v50 * v736))
    v748 = ((v70 * shock_axle_x) + (v68 * shock_axle_z))
    v749 = (v748 + (v46 * v736))
    v764 = (((axle_x + v739) - chassis_x) - v707)
    v767 = (((axle_y + v744) - chassis_y) - v712)
    v770 = (((axle_z + v749) - chassis_z) - v717)
    v779 = sqrt((((v764 * v764) + (v767 * v767)) + (v770 * v770)))
    v785 = ((((v764 * ((axle_x_rate + ((v78 * v749) - (v81 * v744))) - (chassis_x_rate + ((v36 * v717) - (v39 * v712))))) + (v767 * ((axle_y_rate + ((v81 * v739) - (v75 * v749))) - (chassis_y_rate + ((v39 * v707) - (v33 * v717)))))) + (v770 * ((axle_z_rate + ((v75 * v744) - (v78 * v739))) - (chassis_z_rate + ((v33 * v712) - (v36 * v707)))))) / v779)
    v788 = (v779 - longest)
    v789 = (v788 if v788 > 0.0 else 0.0)
    v790 = (stop_stiffness * v789)
    v794 = (1.0 - (v789 * 1000.0))
    v797 = (v785 * stop_damping)
    v799 = (v790 + (v797 * (1.0 - (v794 if v794 > 0.0 else 0.0))))
    v800 = (v799 if v799 > 0.0 else 0.0)
    v808 = (shortest - v779)
    v809 = (v808 if v808 > 0.0 else 0.0)
    v810 = (stop_stiffness * v809)
    v812 = (1.0 - (1000.0 * v809))
    v816 = (v810 - (v797 * (1.0 - (v812 if v812 > 0.0 else 0.0))))
    v817 = (v816 if v816 > 0.0 else 0.0)
    v821 = (((((spring_rate * (free_length - v779)) + v817) - v800) - (v785 * damping)) / v779)
    v822 = (v764 * v821)
    v823 = (v767 * v821)
    v824 = (v770 * v821)
    v834 = (-v822)
    v835 = (-v823)
    v836 = (-v824)
    v846 = (shock_chassis_shift - shock_chassis_y)
    v848 = (v706 + (v17 * v846))
    v850 = (v711 + (v23 * v846))
    v852 = (v716 + (v27 * v846))
    v865 = (shock_axle_shift - shock_axle_y)
    v867 = (v738 + (v47 * v865))
    v869 = (v743 + (v50 * v865))
    v871 = (v748 + (v46 * v865))
    v886 = (((axle_x + v867) - chassis_x) - v848)
    v889 = (((axle_y + v869) - chassis_y) - v850)
    v892 = (((axle_z + v871) - chassis_z) - v852)
    v901 = sqrt((((v886 * v886) + (v889 * v889)) + (v892 * v892)))
    v907 = ((((v886 * ((axle_x_rate + ((v78 * v871) - (v81 * v869))) - (chassis_x_rate + ((v36 * v852) - (v39 * v850))))) + (v889 * ((axle_y_rate + ((v81 * v867) - (v75 * v871))) - (chassis_y_rate + ((v39 * v848) - (v33 * v852)))))) + (v892 * ((axle_z_rate + ((v75 * v869) - (v78 * v867))) - (chassis_z_rate + ((v33 * v850) - (v36 * v848)))))) / v901)
    v908 = (v901 - longest)
    v909 = (v908 if v908 > 0.0 else 0.0)
    v910 = (stop_stiffness * v909)
    v912 = (1.0 - (1000.0 * v909))
    v915 = (stop_damping * v907)
    v917 = (v910 + (v915 * (1.0 - (v912 if v912 > 0.0 else 0.0))))
    v918 = (v917 if v917 > 0.0 else 0.0)
    v922 = (shortest - v901)
    v923 = (v922 if v922 > 0.0 else 0.0)
    v924 = (stop_stiffness * v923)
    v926 = (1.0 - (1000.0 * v923))
    v930 = (v924 - (v915 * (1.0 - (v926 if v926 > 0.0 else 0.0))))
    v931 = (v930 if v930 > 0.0 else 0.0)
    v935 = (((((spring_rate * (free_length - v901)) + v931) - v918) - (damping * v907)) / v901)
    v936 = (v886 * v935)
    v937 = (v889 * v935)
    v938 = (v892 * v935)
    v948 = (-v936)
    v949 = (-v937)
    v950 = (-v938)
    v960 = (v46 / v45)
    v963 = (grip * grip_factor)
    v966 = (half_track + wheel_y)
    v969 = (v58 * wheel_z)
    v971 = (v61 * wheel_x)
    v973 = (((v47 * v966) + v969) + v971)
    v975 = (v64 * wheel_z)
    v976 = (v67 * wheel_x)
    v978 = (((v50 * v966) + v975) + v976)
    v980 = (v68 * wheel_z)
    v981 = (v70 * wheel_x)
    v983 = (((v46 * v966) + v980) + v981)
    v993 = (axle_x_rate + ((v78 * v983) - (v81 * v978)))
    v994 = (axle_y_rate + ((v81 * v973) - (v75 * v983)))
    v998 = ((axle_z + v983) - left_block)
    v999 = (v998 / v45)
    v1001 = (tyre_radius - v999)
    v1002 = (v46 * axle_roll_rate)
    v1005 = (((axle_z_rate + ((v75 * v978) - (v78 * v973))) + (v1002 * v999)) / v45)
    v1007 = (v1001 if v1001 > 0.0 else 0.0)
    v1008 = (tyre_stiffness * v1007)
    v1011 = (1.0 - (1000.0 * v1007))
    v1014 = (v1005 * tyre_damping)
    v1016 = (v1008 - (v1014 * (1.0 - (v1011 if v1011 > 0.0 else 0.0))))
    v1017 = (v1016 if v1016 > 0.0 else 0.0)
    v1018 = (v1017 / v45)
    v1019 = (v960 * v998)
    v1021 = (v973 - (v42 * v1019))
    v1023 = (v978 + (v41 * v1019))
    v1024 = (v983 - v998)
    v1027 = ((v41 * v993) + (v42 * v994))
    v1033 = ((v41 * v75) + (v42 * v78))
    v1035 = (v1018 * contact_give)
    v1036 = (v999 + v1035)
    v1039 = ((v1036 * spin) - v1027)
    v1042 = (((v42 * v993) - (v41 * v994)) - (v998 * v1033))
    v1047 = (slip_speed + (slip_ratio_scale * abs(v1027)))
    v1053 = sqrt(((1e-18 + (v1039 * v1039)) + (v1042 * v1042)))
    v1055 = tanh((v1053 / v1047))
    v1056 = (v963 * v1018)
    v1058 = ((v1055 * v1056) / v1053)
    v1061 = ((v1039 + 1e-09) / v1053)
    v1062 = (v1042 / v1053)
    v1069 = ((v42 * v1062) - (v41 * v1061))
    v1070 = (v41 * v1062)
    v1071 = (v42 * v1061)
    v1073 = ((-v1070) - v1071)
    v1076 = (v1024 * v1069)
    v1080 = (v47 * v999)
    v1083 = (v50 * v999)
    v1086 = (v46 * v999)
    v1090 = (v1070 + v1071)
    v1104 = (v1039 * v1058)
    v1105 = (v1042 * v1058)
    v1108 = ((v41 * v1104) - (v42 * v1105))
    v1111 = ((v41 * v1105) + (v42 * v1104))
    v1127 = (((v999 * v1018) * rolling_resistance) * tanh(((v999 * spin) / slip_speed)))
    v1131 = (wheel_y - half_track)
    v1134 = ((v969 + v971) + (v47 * v1131))
    v1137 = ((v975 + v976) + (v50 * v1131))
    v1140 = ((v980 + v981) + (v46 * v1131))
    v1150 = (axle_x_rate + ((v78 * v1140) - (v81 * v1137)))
    v1151 = (axle_y_rate + ((v81 * v1134) - (v75 * v1140)))
    v1155 = ((axle_z + v1140) - right_block)
    v1156 = (v1155 / v45)
    v1157 = (tyre_radius - v1156)
    v1160 = (((axle_z_rate + ((v75 * v1137) - (v78 * v1134))) + (v1002 * v1156)) / v45)
    v1161 = (v1157 if v1157 > 0.0 else 0.0)
    v1162 = (tyre_stiffness * v1161)
    v1164 = (1.0 - (1000.0 * v1161))
    v1167 = (tyre_damping * v1160)
    v1169 = (v1162 - (v1167 * (1.0 - (v1164 if v1164 > 0.0 else 0.0))))
    v1170 = (v1169 if v1169 > 0.0 else 0.0)
    v1171 = (v1170 / v45)
    v1172 = (v960 * v1155)
    v1174 = (v1134 - (v42 * v1172))
    v1176 = (v1137 + (v41 * v1172))
    v1177 = (v1140 - v1155)
    v1180 = ((v41 * v1150) + (v42 * v1151))
    v1184 = (contact_give * v1171)
    v1185 = (v1156 + v1184)
    v1187 = ((spin * v1185) - v1180)
    v1190 = (((v42 * v1150) - (v41 * v1151)) - (v1033 * v1155))
    v1193 = (slip_speed + (slip_ratio_scale * abs(v1180)))
    v1198 = sqrt(((1e-18 + (v1187 * v1187)) + (v1190 * v1190)))
    v1200 = tanh((v1198 / v1193))
    v1201 = (v963 * v1171)
    v1203 = ((v1200 * v1201) / v1198)
    v1205 = ((1e-09 + v1187) / v1198)
    v1206 = (v1190 / v1198)
    v1213 = ((v42 * v1206) - (v41 * v1205))
    v1214 = (v41 * v1206)
    v1215 = (v42 * v1205)
    v1217 = ((-v1214) - v1215)
    v1220 = (v1177 * v1213)
    v1224 = (v47 * v1156)
    v1227 = (v50 * v1156)
    v1230 = (v46 * v1156)
    v1234 = (v1214 + v1215)
    v1248 = (v1187 * v1203)
    v1249 = (v1190 * v1203)
    v1252 = ((v41 * v1248) - (v42 * v1249))
    v1255 = ((v41 * v1249) + (v42 * v1248))
    v1270 = (((rolling_resistance * v1156) * v1171) * tanh(((spin * v1156) / slip_speed)))
    v1274 = ((v999 * v1104) + (v1156 * v1248))
    v1291 = ((spin * wheels_inertia) + ((((v46 * v81) + (v47 * v75)) + (v50 * v78)) * (pitch_inertia - roll_inertia)))
    v1314 = (1.0 / mass)
    v1316 = (v188 * v1314)
    v1317 = (v190 * v1314)
    v1318 = (v192 * v1314)
    v1319 = (1.0 / roll_inertia)
    v1321 = ((1.0 / pitch_inertia) - v1319)
    v1327 = (v1321 * (((v46 * v215) + (v47 * v209)) + (v50 * v212)))
    v1330 = ((v47 * v1327) + (v209 * v1319))
    v1333 = ((v50 * v1327) + (v212 * v1319))
    v1336 = ((v46 * v1327) + (v215 * v1319))
    v1337 = (v332 * v1314)
    v1338 = (v334 * v1314)
    v1339 = (v336 * v1314)
    v1345 = (v1321 * (((v47 * v353) + (v50 * v356)) + (v46 * v359)))
    v1348 = ((v353 * v1319) + (v47 * v1345))
    v1351 = ((v356 * v1319) + (v50 * v1345))
    v1354 = ((v359 * v1319) + (v46 * v1345))
    v1355 = (v475 * v1314)
    v1356 = (v477 * v1314)
    v1357 = (v479 * v1314)
    v1363 = (v1321 * (((v47 * v496) + (v50 * v499)) + (v46 * v502)))
    v1366 = ((v496 * v1319) + (v47 * v1363))
    v1369 = ((v499 * v1319) + (v50 * v1363))
    v1372 = ((v502 * v1319) + (v46 * v1363))
    v1373 = (v618 * v1314)
    v1374 = (v620 * v1314)
    v1375 = (v622 * v1314)
    v1381 = (v1321 * (((v47 * v639) + (v50 * v642)) + (v46 * v645)))
    v1384 = ((v639 * v1319) + (v47 * v1381))
    v1387 = ((v642 * v1319) + (v50 * v1381))
    v1390 = ((v645 * v1319) + (v46 * v1381))
    v1396 = (v1321 * (((v46 * v687) + (v47 * v681)) + (v50 * v684)))
    v1399 = ((v681 * v1319) + (v47 * v1396))
    v1402 = ((v684 * v1319) + (v50 * v1396))
    v1405 = ((v46 * v1396) + (v687 * v1319))
    v1406 = (driven * (1.0 / wheels_inertia))
    v1419 = (1.0 / sqrt(((((v188 * v1316) + (v190 * v1317)) + (v192 * v1318)) + (((v209 * v1330) + (v212 * v1333)) + (v215 * v1336)))))
    v1431 = (v1419 * ((((v332 * v1316) + (v334 * v1317)) + (v336 * v1318)) + (((v353 * v1330) + (v356 * v1333)) + (v359 * v1336))))
    v1446 = (1.0 / sqrt((((((v332 * v1337) + (v334 * v1338)) + (v336 * v1339)) + (((v353 * v1348) + (v356 * v1351)) + (v359 * v1354))) - (v1431 * v1431))))
    v1458 = (v1419 * ((((v475 * v1316) + (v477 * v1317)) + (v479 * v1318)) + (((v496 * v1330) + (v499 * v1333)) + (v502 * v1336))))
    v1472 = (v1446 * (((((v475 * v1337) + (v477 * v1338)) + (v479 * v1339)) + (((v496 * v1348) + (v499 * v1351)) + (v502 * v1354))) - (v1431 * v1458)))
    v1489 = (1.0 / sqrt(((((((v475 * v1355) + (v477 * v1356)) + (v479 * v1357)) + (((v496 * v1366) + (v499 * v1369)) + (v502 * v1372))) - (v1458 * v1458)) - (v1472 * v1472))))
    v1501 = (v1419 * ((((v618 * v1316) + (v620 * v1317)) + (v622 * v1318)) + (((v639 * v1330) + (v642 * v1333)) + (v645 * v1336))))
    v1515 = (v1446 * (((((v618 * v1337) + (v620 * v1338)) + (v622 * v1339)) + (((v639 * v1348) + (v642 * v1351)) + (v645 * v1354))) - (v1431 * v1501)))
    v1531 = (v1489 * ((((((v618 * v1355) + (v620 * v1356)) + (v622 * v1357)) + (((v639 * v1366) + (v642 * v1369)) + (v645 * v1372))) - (v1458 * v1501)) - (v1472 * v1515)))
    v1550 = (1.0 / sqrt((((((((v618 * v1373) + (v620 * v1374)) + (v622 * v1375)) + (((v639 * v1384) + (v642 * v1387)) + (v645 * v1390))) - (v1501 * v1501)) - (v1515 * v1515)) - (v1531 * v1531))))
    v1556 = (v1419 * (((v681 * v1330) + (v684 * v1333)) + (v687 * v1336)))
    v1564 = (v1446 * ((((v681 * v1348) + (v684 * v1351)) + (v687 * v1354)) - (v1431 * v1556)))
    v1574 = (v1489 * (((((v681 * v1366) + (v684 * v1369)) + (v687 * v1372)) - (v1458 * v1556)) - (v1472 * v1564)))
    v1586 = (v1550 * ((((((v681 * v1384) + (v684 * v1387)) + (v687 * v1390)) - (v1501 * v1556)) - (v1515 * v1564)) - (v1531 * v1574)))
    v1605 = (1.0 / sqrt((((((((1.0 + (((v681 * v1399) + (v684 * v1402)) + (v687 * v1405))) + (driven * v1406)) - driven) - (v1556 * v1556)) - (v1564 * v1564)) - (v1574 * v1574)) - (v1586 * v1586))))
    v1606 = (v187 * v1419)
    v1609 = (v1446 * (v331 - (v1431 * v1606)))
    v1614 = (v1489 * ((v474 - (v1458 * v1606)) - (v1472 * v1609)))
    v1621 = (v1550 * (((v617 - (v1501 * v1606)) - (v1515 * v1609)) - (v1531 * v1614)))
    v1630 = (v1605 * ((((-(v1556 * v1606)) - (v1564 * v1609)) - (v1574 * v1614)) - (v1586 * v1621)))
    v1631 = (v189 * v1419)
    v1634 = (v1446 * (v333 - (v1431 * v1631)))
    v1639 = (v1489 * ((v476 - (v1458 * v1631)) - (v1472 * v1634)))
    v1646 = (v1550 * (((v619 - (v1501 * v1631)) - (v1515 * v1634)) - (v1531 * v1639)))
    v1655 = (v1605 * ((((-(v1556 * v1631)) - (v1564 * v1634)) - (v1574 * v1639)) - (v1586 * v1646)))
    v1656 = (v191 * v1419)
    v1659 = (v1446 * (v335 - (v1431 * v1656)))
    v1664 = (v1489 * ((v478 - (v1458 * v1656)) - (v1472 * v1659)))
    v1671 = (v1550 * (((v621 - (v1501 * v1656)) - (v1515 * v1659)) - (v1531 * v1664)))
    v1680 = (v1605 * ((((-(v1556 * v1656)) - (v1564 * v1659)) - (v1574 * v1664)) - (v1586 * v1671)))
    v1681 = (v225 * v1419)
    v1684 = (v1446 * (v369 - (v1431 * v1681)))
    v1689 = (v1489 * ((v512 - (v1458 * v1681)) - (v1472 * v1684)))
    v1696 = (v1550 * (((v655 - (v1501 * v1681)) - (v1515 * v1684)) - (v1531 * v1689)))
    v1705 = (v1605 * ((((v688 - (v1556 * v1681)) - (v1564 * v1684)) - (v1574 * v1689)) - (v1586 * v1696)))
    v1706 = (v226 * v1419)
    v1709 = (v1446 * (v370 - (v1431 * v1706)))
    v1714 = (v1489 * ((v513 - (v1458 * v1706)) - (v1472 * v1709)))
    v1721 = (v1550 * (((v656 - (v1501 * v1706)) - (v1515 * v1709)) - (v1531 * v1714)))
    v1730 = (v1605 * ((((v689 - (v1556 * v1706)) - (v1564 * v1709)) - (v1574 * v1714)) - (v1586 * v1721)))
    v1731 = (v227 * v1419)
    v1734 = (v1446 * (v371 - (v1431 * v1731)))
    v1739 = (v1489 * ((v514 - (v1458 * v1731)) - (v1472 * v1734)))
    v1746 = (v1550 * (((v657 - (v1501 * v1731)) - (v1515 * v1734)) - (v1531 * v1739)))
    v1755 = (v1605 * ((((v690 - (v1556 * v1731)) - (v1564 * v1734)) - (v1574 * v1739)) - (v1586 * v1746)))
    v1758 = (-(v1605 * motor_ratio))
    v1958 = ((((v822 + v936) + v1108) + v1252) + (gravity_x * mass))
    v1962 = ((((v823 + v937) + v1111) + v1255) + (mass * gravity_y))
    v1966 = ((((v824 + v938) + v1018) + v1171) + (mass * gravity_z))
    v1971 = (((((((v744 * v824) - (v749 * v823)) + ((v869 * v938) - (v871 * v937))) + ((v1018 * v1023) - (v1024 * v1111))) + ((v1171 * v1176) - (v1177 * v1255))) + (v47 * v1274)) - (v1291 * ((v46 * v78) - (v50 * v81))))
    v1976 = (((((((v749 * v822) - (v739 * v824)) + ((v871 * v936) - (v867 * v938))) + ((v1024 * v1108) - (v1018 * v1021))) + ((v1177 * v1252) - (v1171 * v1174))) + (v50 * v1274)) - (v1291 * ((v47 * v81) - (v46 * v75))))
    v1981 = (((((((v739 * v823) - (v744 * v822)) + ((v867 * v937) - (v869 * v936))) + ((v1021 * v1111) - (v1023 * v1108))) + ((v1174 * v1255) - (v1176 * v1252))) + (v46 * v1274)) - (v1291 * ((v50 * v75) - (v47 * v78))))
    v1982 = (-(((v1127 + (v1035 * v1104)) + (v1270 + (v1184 * v1248))) + v1274))
    v1994 = (((((((v186 * ((((v170 * (((v78 * v150) - (v81 * v147)) - ((v36 * v108) - (v39 * v105)))) + (v175 * (((v81 * v144) - (v75 * v150)) - ((v39 * v102) - (v33 * v108))))) + (v180 * (((v75 * v147) - (v78 * v144)) - ((v33 * v105) - (v36 * v102))))) + (((v181 * v181) + (v182 * v182)) + (v183 * v183)))) - (v1316 * v1958)) - (v1317 * v1962)) - (v1318 * v1966)) - (v1330 * v1971)) - (v1333 * v1976)) - (v1336 * v1981))
    v2006 = (((((((v330 * ((((v319 * (((v78 * v304) - (v81 * v301)) - ((v36 * v265) - (v39 * v262)))) + (v322 * (((v81 * v298) - (v75 * v304)) - ((v39 * v259) - (v33 * v265))))) + (v325 * (((v75 * v301) - (v78 * v298)) - ((v33 * v262) - (v36 * v259))))) + (((v326 * v326) + (v327 * v327)) + (v328 * v328)))) - (v1337 * v1958)) - (v1338 * v1962)) - (v1339 * v1966)) - (v1348 * v1971)) - (v1351 * v1976)) - (v1354 * v1981))
    v2018 = (((((((v473 * ((((v462 * (((v78 * v447) - (v81 * v444)) - ((v36 * v408) - (v39 * v405)))) + (v465 * (((v81 * v441) - (v75 * v447)) - ((v39 * v402) - (v33 * v408))))) + (v468 * (((v75 * v444) - (v78 * v441)) - ((v33 * v405) - (v36 * v402))))) + (((v469 * v469) + (v470 * v470)) + (v471 * v471)))) - (v1355 * v1958)) - (v1356 * v1962)) - (v1357 * v1966)) - (v1366 * v1971)) - (v1369 * v1976)) - (v1372 * v1981))
    v2030 = (((((((v616 * ((((v605 * (((v78 * v590) - (v81 * v587)) - ((v36 * v551) - (v39 * v548)))) + (v608 * (((v81 * v584) - (v75 * v590)) - ((v39 * v545) - (v33 * v551))))) + (v611 * (((v75 * v587) - (v78 * v584)) - ((v33 * v548) - (v36 * v545))))) + (((v612 * v612) + (v613 * v613)) + (v614 * v614)))) - (v1373 * v1958)) - (v1374 * v1962)) - (v1375 * v1966)) - (v1384 * v1971)) - (v1387 * v1976)) - (v1390 * v1981))
    v2039 = (v1419 * v1994)
    v2042 = (v1446 * (v2006 - (v1431 * v2039)))
    v2047 = (v1489 * ((v2018 - (v1458 * v2039)) - (v1472 * v2042)))
    v2054 = (v1550 * (((v2030 - (v1501 * v2039)) - (v1515 * v2042)) - (v1531 * v2047)))
    v2063 = (v1605 * (((((((((-(driven_shaft * (((v75 * ((v11 * v36) - (v10 * v39))) + (v78 * ((v8 * v39) - (v11 * v33)))) + (v81 * ((v10 * v33) - (v8 * v36)))))) - (v1399 * v1971)) - (v1402 * v1976)) - (v1405 * v1981)) - (v1406 * v1982)) - (v1556 * v2039)) - (v1564 * v2042)) - (v1574 * v2047)) - (v1586 * v2054)))
    return ((((((v1606 * v1606) + (v1609 * v1609)) + (v1614 * v1614)) + (v1621 * v1621)) + (v1630 * v1630)),
        (((((v1606 * v1631) + (v1609 * v1634)) + (v1614 * v1639)) + (v1621 * v1646)) + (v1630 * v1655)),
        (((((v1631 * v1631) + (v1634 * v1634)) + (v1639 * v1639)) + (v1646 * v1646)) + (v1655 * v1655)),
        (((((v1606 * v1656) + (v1609 * v1659)) + (v1614 * v1664)) + (v1621 * v1671)) + (v1630 * v1680)),
        (((((v1631 * v1656) + (v1634 * v1659)) + (v1639 * v1664)) + (v1646 * v1671)) + (v1655 * v1680)),
        (((((v1656 * v1656) + (v1659 * v1659)) + (v1664 * v1664)) + (v1671 * v1671)) + (v1680 * v1680)),
        (((((v1606 * v1681) + (v1609 * v1684)) + (v1614 * v1689)) + (v1621 * v1696)) + (v1630 * v1705)),
        (((((v1631 * v1681) + (v1634 * v1684)) + (v1639 * v1689)) + (v1646 * v1696)) + (v1655 * v1705)),
        (((((v1656 * v1681) + (v1659 * v1684)) + (v1664 * v1689)) + (v1671 * v1696)) + (v1680 * v1705)),
        (((((v1681 * v1681) + (v1684 * v1684)) + (v1689 * v1689)) + (v1696 * v1696)) + (v1705 * v1705)),
        (((((v1606 * v1706) + (v1609 * v1709)) + (v1614 * v1714)) + (v1621 * v1721)) + (v1630 * v1730)),
        (((((v1631 * v1706) + (v1634 * v1709)) + (v1639 * v1714)) + (v1646 * v1721)) + (v1655 * v1730)),
        (((((v1656 * v1706) + (v1659 * v1709)) + (v1664 * v1714)) + (v1671 * v1721)) + (v1680 * v1730)),
        (((((v1681 * v1706) + (v1684 * v1709)) + (v1689 * v1714)) + (v1696 * v1721)) + (v1705 * v1730)),
        (((((v1706 * v1706) + (v1709 * v1709)) + (v1714 * v1714)) + (v1721 * v1721)) + (v1730 * v1730)),
        (((((v1606 * v1731) + (v1609 * v1734)) + (v1614 * v1739)) + (v1621 * v1746)) + (v1630 * v1755)),
        (((((v1631 * v1731) + (v1634 * v1734)) + (v1639 * v1739)) + (v1646 * v1746)) + (v1655 * v1755)),
        (((((v1656 * v1731) + (v1659 * v1734)) + (v1664 * v1739)) + (v1671 * v1746)) + (v1680 * v1755)),
        (((((v1681 * v1731) + (v1684 * v1734)) + (v1689 * v1739)) + (v1696 * v1746)) + (v1705 * v1755)),
        (((((v1706 * v1731) + (v1709 * v1734)) + (v1714 * v1739)) + (v1721 * v1746)) + (v1730 * v1755)),
        (((((v1731 * v1731) + (v1734 * v1734)) + (v1739 * v1739)) + (v1746 * v1746)) + (v1755 * v1755)),
        (v1630 * v1758), (v1655 * v1758), (v1680 * v1758), (v1705 * v1758), (v1730 * v1758), (v1755 * v1758),
        (v1758 * v1758),
        ((((((v834 - v936) + (v1606 * v2039)) + (v1609 * v2042)) + (v1614 * v2047)) + (v1621 * v2054)) + (v1630 * v2063)), ((((((v835 - v937) + (v1631 * v2039)) + (v1634 * v2042)) + (v1639 * v2047)) + (v1646 * v2054)) + (v1655 * v2063)), ((((((v836 - v938) + (v1656 * v2039)) + (v1659 * v2042)) + (v1664 * v2047)) + (v1671 * v2054)) + (v1680 * v2063)), ((((((((v712 * v836) - (v717 * v835)) + ((v850 * v950) - (v852 * v949))) + (v1681 * v2039)) + (v1684 * v2042)) + (v1689 * v2047)) + (v1696 * v2054)) + (v1705 * v2063)), ((((((((v717 * v834) - (v707 * v836)) + ((v852 * v948) - (v848 * v950))) + (v1706 * v2039)) + (v1709 * v2042)) + (v1714 * v2047)) + (v1721 * v2054)) + (v1730 * v2063)), ((((((((v707 * v835) - (v712 * v834)) + ((v848 * v949) - (v850 * v948))) + (v1731 * v2039)) + (v1734 * v2042)) + (v1739 * v2047)) + (v1746 * v2054)) + (v1755 * v2063)), (v1758 * v2063), ((damping * (v785 * v785)) + (damping * (v907 * v907))), ((((v785 * (v800 - v790)) + (v907 * (v918 - v910))) - (v785 * (v817 - v810))) - (v907 * (v931 - v924))), ((v1005 * (v1008 - v1017)) + (v1160 * (v1162 - v1170))), ((((v1039 * v1104) + (v1042 * v1105)) + (v1187 * v1248)) + (v1190 * v1249)), ((spin * v1127) + (spin * v1270)), v1419, v1431, v1446, v1458, v1472, v1489, v1501, v1515, v1531, v1550, v1556, v1564, v1574, v1586, v1605, v1606, v1631, v1656, v1681, v1706, v1731, v1609, v1634, v1659, v1684, v1709, v1734, v1614, v1639, v1664, v1689, v1714, v1739, v1621, v1646, v1671, v1696, v1721, v1746, v1630, v1655, v1680, v1705, v1730, v1755, v1758, v188, v190, v192, v332, v334, v336, v475, v477, v479, v618, v620, v622, v209, v212, v215, v353, v356, v359, v496, v499, v502, v639, v642, v645, v681, v684, v687, v47, v50, v46, v2039, v2042, v2047, v2054, v2063, v1958, v1962, v1966, v1971, v1976, v1981, v1982, v1018, v1171, v1001, v1157, ((v1001 * tyre_stiffness) - v1014), ((tyre_stiffness * v1157) - v1167), v788, v908, v808, v922, ((v1056 * (1.0 - (v1055 * v1055))) / v1047), v1058, ((v1201 * (1.0 - (v1200 * v1200))) / v1193), v1203, v1069, v1073, ((-(v1024 * v1073)) - (v1080 * v1061)), (v1076 - (v1083 * v1061)), (((v1021 * v1073) - (v1023 * v1069)) - (v1086 * v1061)), (v1036 * v1061), v1090, v1069, ((v1080 * v1062) - v1076), ((v1024 * v1090) + (v1083 * v1062)), (((v1021 * v1069) - (v1023 * v1090)) + (v1086 * v1062)), (-(v1036 * v1062)), v1213, v1217, ((-(v1177 * v1217)) - (v1224 * v1205)), (v1220 - (v1227 * v1205)), (((v1174 * v1217) - (v1176 * v1213)) - (v1230 * v1205)), (v1185 * v1205), v1234, v1213, ((v1224 * v1206) - v1220), ((v1177 * v1234) + (v1227 * v1206)), (((v1174 * v1213) - (v1176 * v1234)) + (v1230 * v1206)), (-(v1185 * v1206)), v225, v226, v227, v369, v370, v371, v512, v513, v514, v655, v656, v657, v688, v689, v690,)


def axle_switches(chassis, chassis_speeds, axle_state, axle_speeds, wheels, blocks, gravity, numbers):
    """Depth, raw load, droop and bump depth, left and right each."""
    (chassis_x, chassis_y, chassis_z, chassis_heading, chassis_pitch, chassis_roll,) = chassis
    (chassis_x_rate, chassis_y_rate, chassis_z_rate, chassis_heading_rate, chassis_pitch_rate,
        chassis_roll_rate,) = chassis_speeds
    (axle_x, axle_y, axle_z, axle_heading, axle_roll, axle_pitch,) = axle_state
    (axle_x_rate, axle_y_rate, axle_z_rate, axle_heading_rate, axle_roll_rate, axle_pitch_rate,) = axle_speeds
    (spin, grip_factor,) = wheels
    (left_block, right_block,) = blocks
    (gravity_x, gravity_y, gravity_z,) = gravity
    (rod_1_chassis_x, rod_1_chassis_y, rod_1_chassis_z, rod_1_axle_x, rod_1_axle_y, rod_1_axle_z,
        rod_2_chassis_x, rod_2_chassis_y, rod_2_chassis_z, rod_2_axle_x, rod_2_axle_y, rod_2_axle_z,
        rod_3_chassis_x, rod_3_chassis_y, rod_3_chassis_z, rod_3_axle_x, rod_3_axle_y, rod_3_axle_z,
        rod_4_chassis_x, rod_4_chassis_y, rod_4_chassis_z, rod_4_axle_x, rod_4_axle_y, rod_4_axle_z,
        rod_1_length, rod_2_length, rod_3_length, rod_4_length, shock_chassis_x, shock_chassis_y,
        shock_chassis_z, shock_axle_x, shock_axle_y, shock_axle_z, shock_chassis_shift, shock_axle_shift,
        spring_rate, damping, free_length, longest, shortest, stop_stiffness, stop_damping, wheel_x, wheel_y,
        wheel_z, half_track, tyre_radius, tyre_stiffness, tyre_damping, grip, slip_speed, slip_ratio_scale,
        rolling_resistance, contact_give, driven, driven_shaft, motor_ratio, mass, roll_inertia,
        pitch_inertia, wheels_inertia,) = numbers
    v1 = cos(chassis_heading)
    v2 = sin(chassis_heading)
    v3 = (-v2)
    v5 = cos(chassis_pitch)
    v6 = sin(chassis_pitch)
    v7 = (v1 * v6)
    v9 = (v2 * v6)
    v13 = cos(chassis_roll)
    v14 = sin(chassis_roll)
    v17 = ((v3 * v13) + (v7 * v14))
    v23 = ((v1 * v13) + (v9 * v14))
    v27 = (v5 * v14)
    v41 = cos(axle_heading)
    v42 = sin(axle_heading)
    v43 = (-v42)
    v45 = cos(axle_roll)
    v46 = sin(axle_roll)
    v47 = (v43 * v45)
    v49 = (-(v43 * v46))
    v50 = (v41 * v45)
    v52 = (-(v41 * v46))
    v54 = cos(axle_pitch)
    v55 = sin(axle_pitch)
    v58 = ((v41 * v55) + (v49 * v54))
    v61 = ((v41 * v54) - (v49 * v55))
    v64 = ((v42 * v55) + (v52 * v54))
    v67 = ((v42 * v54) - (v52 * v55))
    v68 = (v45 * v54)
    v70 = (-(v45 * v55))
    v75 = ((v47 * axle_pitch_rate) + (v41 * axle_roll_rate))
    v78 = ((v50 * axle_pitch_rate) + (v42 * axle_roll_rate))
    v704 = (shock_chassis_shift + shock_chassis_y)
    v706 = (((v1 * v5) * shock_chassis_x) + (((v7 * v13) - (v3 * v14)) * shock_chassis_z))
    v711 = (((v2 * v5) * shock_chassis_x) + (((v9 * v13) - (v1 * v14)) * shock_chassis_z))
    v716 = (((-v6) * shock_chassis_x) + ((v5 * v13) * shock_chassis_z))
    v736 = (shock_axle_shift + shock_axle_y)
    v738 = ((v61 * shock_axle_x) + (v58 * shock_axle_z))
    v743 = ((v67 * shock_axle_x) + (v64 * shock_axle_z))
    v748 = ((v70 * shock_axle_x) + (v68 * shock_axle_z))
    v764 = (((axle_x + (v738 + (v47 * v736))) - chassis_x) - (v706 + (v17 * v704)))
    v767 = (((axle_y + (v743 + (v50 * v736))) - chassis_y) - (v711 + (v23 * v704)))
    v770 = (((axle_z + (v748 + (v46 * v736))) - chassis_z) - (v716 + (v27 * v704)))
    v779 = sqrt((((v764 * v764) + (v767 * v767)) + (v770 * v770)))
    v846 = (shock_chassis_shift - shock_chassis_y)
    v865 = (shock_axle_shift - shock_axle_y)
    v886 = (((axle_x + (v738 + (v47 * v865))) - chassis_x) - (v706 + (v17 * v846)))
    v889 = (((axle_y + (v743 + (v50 * v865))) - chassis_y) - (v711 + (v23 * v846)))
    v892 = (((axle_z + (v748 + (v46 * v865))) - chassis_z) - (v716 + (v27 * v846)))
    v901 = sqrt((((v886 * v886) + (v889 * v889)) + (v892 * v892)))
    v966 = (half_track + wheel_y)
    v969 = (v58 * wheel_z)
    v971 = (v61 * wheel_x)
    v975 = (v64 * wheel_z)
    v976 = (v67 * wheel_x)
    v980 = (v68 * wheel_z)
    v981 = (v70 * wheel_x)
    v999 = (((axle_z + (((v46 * v966) + v980) + v981)) - left_block) / v45)
    v1001 = (tyre_radius - v999)
    v1002 = (v46 * axle_roll_rate)
    v1131 = (wheel_y - half_track)
    v1156 = (((axle_z + ((v980 + v981) + (v46 * v1131))) - right_block) / v45)
    v1157 = (tyre_radius - v1156)
    return (v1001, v1157,
        ((v1001 * tyre_stiffness) - ((((axle_z_rate + ((v75 * (((v50 * v966) + v975) + v976)) - (v78 * (((v47 * v966) + v969) + v971)))) + (v1002 * v999)) / v45) * tyre_damping)), ((tyre_stiffness * v1157) - (tyre_damping * (((axle_z_rate + ((v75 * ((v975 + v976) + (v50 * v1131))) - (v78 * ((v969 + v971) + (v47 * v1131))))) + (v1002 * v1156)) / v45))), (v779 - longest), (v901 - longest), (shortest - v779), (shortest - v901),)


def axle_moving_seen(chassis, chassis_speeds, axle_state, axle_speeds, wheels, blocks, gravity, numbers):
    """What SEEN_IN_MOTION names."""
    (chassis_x, chassis_y, chassis_z, chassis_heading, chassis_pitch, chassis_roll,) = chassis
    (chassis_x_rate, chassis_y_rate, chassis_z_rate, chassis_heading_rate, chassis_pitch_rate,
        chassis_roll_rate,) = chassis_speeds
    (axle_x, axle_y, axle_z, axle_heading, axle_roll, axle_pitch,) = axle_state
    (axle_x_rate, axle_y_rate, axle_z_rate, axle_heading_rate, axle_roll_rate, axle_pitch_rate,) = axle_speeds
    (spin, grip_factor,) = wheels
    (left_block, right_block,) = blocks
    (gravity_x, gravity_y, gravity_z,) = gravity
    (rod_1_chassis_x, rod_1_chassis_y, rod_1_chassis_z, rod_1_axle_x, rod_1_axle_y, rod_1_axle_z,
        rod_2_chassis_x, rod_2_chassis_y, rod_2_chassis_z, rod_2_axle_x, rod_2_axle_y, rod_2_axle_z,
        rod_3_chassis_x, rod_3_chassis_y, rod_3_chassis_z, rod_3_axle_x, rod_3_axle_y, rod_3_axle_z,
        rod_4_chassis_x, rod_4_chassis_y, rod_4_chassis_z, rod_4_axle_x, rod_4_axle_y, rod_4_axle_z,
        rod_1_length, rod_2_length, rod_3_length, rod_4_length, shock_chassis_x, shock_chassis_y,
        shock_chassis_z, shock_axle_x, shock_axle_y, shock_axle_z, shock_chassis_shift, shock_axle_shift,
        spring_rate, damping, free_length, longest, shortest, stop_stiffness, stop_damping, wheel_x, wheel_y,
        wheel_z, half_track, tyre_radius, tyre_stiffness, tyre_damping, grip, slip_speed, slip_ratio_scale,
        rolling_resistance, contact_give, driven, driven_shaft, motor_ratio, mass, roll_inertia,
        pitch_inertia, wheels_inertia,) = numbers
    v1 = cos(chassis_heading)
    v2 = sin(chassis_heading)
    v3 = (-v2)
    v5 = cos(chassis_pitch)
    v6 = sin(chassis_pitch)
    v7 = (v1 * v6)
    v8 = (v1 * v5)
    v9 = (v2 * v6)
    v10 = (v2 * v5)
    v11 = (-v6)
    v13 = cos(chassis_roll)
    v14 = sin(chassis_roll)
    v17 = ((v3 * v13) + (v7 * v14))
    v23 = ((v1 * v13) + (v9 * v14))
    v27 = (v5 * v14)
    v33 = ((v3 * chassis_pitch_rate) + (v8 * chassis_roll_rate))
    v36 = ((v1 * chassis_pitch_rate) + (v10 * chassis_roll_rate))
    v39 = (chassis_heading_rate + (v11 * chassis_roll_rate))
    v41 = cos(axle_heading)
    v42 = sin(axle_heading)
    v43 = (-v42)
    v45 = cos(axle_roll)
    v46 = sin(axle_roll)
    v47 = (v43 * v45)
    v49 = (-(v43 * v46))
    v50 = (v41 * v45)
    v52 = (-(v41 * v46))
    v54 = cos(axle_pitch)
    v55 = sin(axle_pitch)
    v58 = ((v41 * v55) + (v49 * v54))
    v61 = ((v41 * v54) - (v49 * v55))
    v64 = ((v42 * v55) + (v52 * v54))
    v67 = ((v42 * v54) - (v52 * v55))
    v68 = (v45 * v54)
    v70 = (-(v45 * v55))
    v75 = ((v47 * axle_pitch_rate) + (v41 * axle_roll_rate))
    v78 = ((v50 * axle_pitch_rate) + (v42 * axle_roll_rate))
    v81 = (axle_heading_rate + (v46 * axle_pitch_rate))
    v704 = (shock_chassis_shift + shock_chassis_y)
    v706 = ((v8 * shock_chassis_x) + (((v7 * v13) - (v3 * v14)) * shock_chassis_z))
    v707 = (v706 + (v17 * v704))
    v711 = ((v10 * shock_chassis_x) + (((v9 * v13) - (v1 * v14)) * shock_chassis_z))
    v712 = (v711 + (v23 * v704))
    v716 = ((v11 * shock_chassis_x) + ((v5 * v13) * shock_chassis_z))
    v717 = (v716 + (v27 * v704))
    v736 = (shock_axle_shift + shock_axle_y)
    v738 = ((v61 * shock_axle_x) + (v58 * shock_axle_z))
    v739 = (v738 + (v47 * v736))
    v743 = ((v67 * shock_axle_x) + (v64 * shock_axle_z))
    v744 = (v743 + (v50 * v736))
    v748 = ((v70 * shock_axle_x) + (v68 * shock_axle_z))
    v749 = (v748 + (v46 * v736))
    v764 = (((axle_x + v739) - chassis_x) - v707)
    v767 = (((axle_y + v744) - chassis_y) - v712)
    v770 = (((axle_z + v749) - chassis_z) - v717)
    v779 = sqrt((((v764 * v764) + (v767 * v767)) + (v770 * v770)))
    v785 = ((((v764 * ((axle_x_rate + ((v78 * v749) - (v81 * v744))) - (chassis_x_rate + ((v36 * v717) - (v39 * v712))))) + (v767 * ((axle_y_rate + ((v81 * v739) - (v75 * v749))) - (chassis_y_rate + ((v39 * v707) - (v33 * v717)))))) + (v770 * ((axle_z_rate + ((v75 * v744) - (v78 * v739))) - (chassis_z_rate + ((v33 * v712) - (v36 * v707)))))) / v779)
    v788 = (v779 - longest)
    v789 = (v788 if v788 > 0.0 else 0.0)
    v794 = (1.0 - (v789 * 1000.0))
    v797 = (v785 * stop_damping)
    v799 = ((stop_stiffness * v789) + (v797 * (1.0 - (v794 if v794 > 0.0 else 0.0))))
    v808 = (shortest - v779)
    v809 = (v808 if v808 > 0.0 else 0.0)
    v812 = (1.0 - (1000.0 * v809))
    v816 = ((stop_stiffness * v809) - (v797 * (1.0 - (v812 if v812 > 0.0 else 0.0))))
    v846 = (shock_chassis_shift - shock_chassis_y)
    v848 = (v706 + (v17 * v846))
    v850 = (v711 + (v23 * v846))
    v852 = (v716 + (v27 * v846))
    v865 = (shock_axle_shift - shock_axle_y)
    v867 = (v738 + (v47 * v865))
    v869 = (v743 + (v50 * v865))
    v871 = (v748 + (v46 * v865))
    v886 = (((axle_x + v867) - chassis_x) - v848)
    v889 = (((axle_y + v869) - chassis_y) - v850)
    v892 = (((axle_z + v871) - chassis_z) - v852)
    v901 = sqrt((((v886 * v886) + (v889 * v889)) + (v892 * v892)))
    v907 = ((((v886 * ((axle_x_rate + ((v78 * v871) - (v81 * v869))) - (chassis_x_rate + ((v36 * v852) - (v39 * v850))))) + (v889 * ((axle_y_rate + ((v81 * v867) - (v75 * v871))) - (chassis_y_rate + ((v39 * v848) - (v33 * v852)))))) + (v892 * ((axle_z_rate + ((v75 * v869) - (v78 * v867))) - (chassis_z_rate + ((v33 * v850) - (v36 * v848)))))) / v901)
    v908 = (v901 - longest)
    v909 = (v908 if v908 > 0.0 else 0.0)
    v912 = (1.0 - (1000.0 * v909))
    v915 = (stop_damping * v907)
    v917 = ((stop_stiffness * v909) + (v915 * (1.0 - (v912 if v912 > 0.0 else 0.0))))
    v922 = (shortest - v901)
    v923 = (v922 if v922 > 0.0 else 0.0)
    v926 = (1.0 - (1000.0 * v923))
    v930 = ((stop_stiffness * v923) - (v915 * (1.0 - (v926 if v926 > 0.0 else 0.0))))
    v960 = (v46 / v45)
    v963 = (grip * grip_factor)
    v966 = (half_track + wheel_y)
    v969 = (v58 * wheel_z)
    v971 = (v61 * wheel_x)
    v973 = (((v47 * v966) + v969) + v971)
    v975 = (v64 * wheel_z)
    v976 = (v67 * wheel_x)
    v978 = (((v50 * v966) + v975) + v976)
    v980 = (v68 * wheel_z)
    v981 = (v70 * wheel_x)
    v983 = (((v46 * v966) + v980) + v981)
    v993 = (axle_x_rate + ((v78 * v983) - (v81 * v978)))
    v994 = (axle_y_rate + ((v81 * v973) - (v75 * v983)))
    v998 = ((axle_z + v983) - left_block)
    v999 = (v998 / v45)
    v1001 = (tyre_radius - v999)
    v1002 = (v46 * axle_roll_rate)
    v1007 = (v1001 if v1001 > 0.0 else 0.0)
    v1011 = (1.0 - (1000.0 * v1007))
    v1014 = ((((axle_z_rate + ((v75 * v978) - (v78 * v973))) + (v1002 * v999)) / v45) * tyre_damping)
    v1016 = ((tyre_stiffness * v1007) - (v1014 * (1.0 - (v1011 if v1011 > 0.0 else 0.0))))
    v1018 = ((v1016 if v1016 > 0.0 else 0.0) / v45)
    v1019 = (v960 * v998)
    v1027 = ((v41 * v993) + (v42 * v994))
    v1033 = ((v41 * v75) + (v42 * v78))
    v1035 = (v1018 * contact_give)
    v1039 = (((v999 + v1035) * spin) - v1027)
    v1042 = (((v42 * v993) - (v41 * v994)) - (v998 * v1033))
    v1053 = sqrt(((1e-18 + (v1039 * v1039)) + (v1042 * v1042)))
    v1058 = ((tanh((v1053 / (slip_speed + (slip_ratio_scale * abs(v1027))))) * (v963 * v1018)) / v1053)
    v1104 = (v1039 * v1058)
    v1131 = (wheel_y - half_track)
    v1134 = ((v969 + v971) + (v47 * v1131))
    v1137 = ((v975 + v976) + (v50 * v1131))
    v1140 = ((v980 + v981) + (v46 * v1131))
    v1150 = (axle_x_rate + ((v78 * v1140) - (v81 * v1137)))
    v1151 = (axle_y_rate + ((v81 * v1134) - (v75 * v1140)))
    v1155 = ((axle_z + v1140) - right_block)
    v1156 = (v1155 / v45)
    v1157 = (tyre_radius - v1156)
    v1161 = (v1157 if v1157 > 0.0 else 0.0)
    v1164 = (1.0 - (1000.0 * v1161))
    v1167 = (tyre_damping * (((axle_z_rate + ((v75 * v1137) - (v78 * v1134))) + (v1002 * v1156)) / v45))
    v1169 = ((tyre_stiffness * v1161) - (v1167 * (1.0 - (v1164 if v1164 > 0.0 else 0.0))))
    v1171 = ((v1169 if v1169 > 0.0 else 0.0) / v45)
    v1172 = (v960 * v1155)
    v1180 = ((v41 * v1150) + (v42 * v1151))
    v1184 = (contact_give * v1171)
    v1187 = ((spin * (v1156 + v1184)) - v1180)
    v1190 = (((v42 * v1150) - (v41 * v1151)) - (v1033 * v1155))
    v1198 = sqrt(((1e-18 + (v1187 * v1187)) + (v1190 * v1190)))
    v1203 = ((tanh((v1198 / (slip_speed + (slip_ratio_scale * abs(v1180))))) * (v963 * v1171)) / v1198)
    v1248 = (v1187 * v1203)
    return (v1018, v1171, v1001, v1157, ((v1001 * tyre_stiffness) - v1014),
        ((tyre_stiffness * v1157) - v1167), v999, v1156, v1104, v1248, (v1042 * v1058), (v1190 * v1203),
        v1039, v1187, v1042, v1190, v1027, v1180,
        ((((v999 * v1018) * rolling_resistance) * tanh(((v999 * spin) / slip_speed))) + (v1035 * v1104)),
        ((((rolling_resistance * v1156) * v1171) * tanh(((spin * v1156) / slip_speed))) + (v1184 * v1248)),
        (v973 - (v42 * v1019)), (v1134 - (v42 * v1172)), (v978 + (v41 * v1019)), (v1137 + (v41 * v1172)),
        (v983 - v998), (v1140 - v1155), v779, v901, v785, v907,
        ((((spring_rate * (free_length - v779)) + (v816 if v816 > 0.0 else 0.0)) - (v799 if v799 > 0.0 else 0.0)) - (v785 * damping)), ((((spring_rate * (free_length - v901)) + (v930 if v930 > 0.0 else 0.0)) - (v917 if v917 > 0.0 else 0.0)) - (damping * v907)), v788, v908, v808, v922,)


def chassis_moves(chassis, chassis_speeds, motor, gravity, rear_joined, rear_pushed, front_joined, front_pushed, numbers):
    """Accelerations of PARTS (7), of heading, pitch and roll (3); motor power, brake loss, brake slope."""
    (chassis_x, chassis_y, chassis_z, chassis_heading, chassis_pitch, chassis_roll,) = chassis
    (chassis_x_rate, chassis_y_rate, chassis_z_rate, chassis_heading_rate, chassis_pitch_rate,
        chassis_roll_rate,) = chassis_speeds
    (motor_speed, throttle, brake_torque,) = motor
    (gravity_x, gravity_y, gravity_z,) = gravity
    (rear_joined_0_0, rear_joined_1_0, rear_joined_1_1, rear_joined_2_0, rear_joined_2_1, rear_joined_2_2,
        rear_joined_3_0, rear_joined_3_1, rear_joined_3_2, rear_joined_3_3, rear_joined_4_0, rear_joined_4_1,
        rear_joined_4_2, rear_joined_4_3, rear_joined_4_4, rear_joined_5_0, rear_joined_5_1, rear_joined_5_2,
        rear_joined_5_3, rear_joined_5_4, rear_joined_5_5, rear_joined_6_0, rear_joined_6_1, rear_joined_6_2,
        rear_joined_6_3, rear_joined_6_4, rear_joined_6_5, rear_joined_6_6,) = rear_joined
    (rear_pushed_0, rear_pushed_1, rear_pushed_2, rear_pushed_3, rear_pushed_4, rear_pushed_5,
        rear_pushed_6,) = rear_pushed
    (front_joined_0_0, front_joined_1_0, front_joined_1_1, front_joined_2_0, front_joined_2_1,
        front_joined_2_2, front_joined_3_0, front_joined_3_1, front_joined_3_2, front_joined_3_3,
        front_joined_4_0, front_joined_4_1, front_joined_4_2, front_joined_4_3, front_joined_4_4,
        front_joined_5_0, front_joined_5_1, front_joined_5_2, front_joined_5_3, front_joined_5_4,
        front_joined_5_5, front_joined_6_0, front_joined_6_1, front_joined_6_2, front_joined_6_3,
        front_joined_6_4, front_joined_6_5, front_joined_6_6,) = front_joined
    (front_pushed_0, front_pushed_1, front_pushed_2, front_pushed_3, front_pushed_4, front_pushed_5,
        front_pushed_6,) = front_pushed
    (mass, roll_inertia, pitch_inertia, yaw_inertia, rotor_inertia, stall_torque, no_load_speed,
        brake_speed,) = numbers
    v1 = cos(chassis_heading)
    v2 = sin(chassis_heading)
    v3 = (-v2)
    v5 = cos(chassis_pitch)
    v6 = sin(chassis_pitch)
    v7 = (v1 * v6)
    v8 = (v1 * v5)
    v9 = (v2 * v6)
    v10 = (v2 * v5)
    v11 = (-v6)
    v13 = cos(chassis_roll)
    v14 = sin(chassis_roll)
    v17 = ((v3 * v13) + (v7 * v14))
    v20 = ((v7 * v13) - (v3 * v14))
    v23 = ((v1 * v13) + (v9 * v14))
    v26 = ((v9 * v13) - (v1 * v14))
    v27 = (v5 * v14)
    v28 = (v5 * v13)
    v30 = (v3 * chassis_pitch_rate)
    v33 = (v30 + (v8 * chassis_roll_rate))
    v34 = (v1 * chassis_pitch_rate)
    v36 = (v34 + (v10 * chassis_roll_rate))
    v39 = (chassis_heading_rate + (v11 * chassis_roll_rate))
    v50 = (((pitch_inertia * (v17 * v17)) + (roll_inertia * (v8 * v8))) + (yaw_inertia * (v20 * v20)))
    v58 = ((((v17 * v23) * pitch_inertia) + ((v8 * v10) * roll_inertia)) + ((v20 * v26) * yaw_inertia))
    v66 = (((pitch_inertia * (v23 * v23)) + (roll_inertia * (v10 * v10))) + (yaw_inertia * (v26 * v26)))
    v74 = ((((v17 * v27) * pitch_inertia) + ((v8 * v11) * roll_inertia)) + ((v20 * v28) * yaw_inertia))
    v82 = ((((v23 * v27) * pitch_inertia) + ((v10 * v11) * roll_inertia)) + ((v26 * v28) * yaw_inertia))
    v90 = (((pitch_inertia * (v27 * v27)) + (roll_inertia * (v11 * v11))) + (yaw_inertia * (v28 * v28)))
    v95 = (((v33 * v50) + (v36 * v58)) + (v39 * v74))
    v100 = (((v33 * v58) + (v36 * v66)) + (v39 * v82))
    v105 = (((v33 * v74) + (v36 * v82)) + (v39 * v90))
    v121 = (stall_torque * (throttle - (motor_speed / no_load_speed)))
    v124 = tanh((motor_speed / brake_speed))
    v126 = (v124 * brake_torque)
    v138 = (1.0 / sqrt(((front_joined_0_0 + mass) + rear_joined_0_0)))
    v142 = (v138 * (front_joined_1_0 + rear_joined_1_0))
    v150 = (1.0 / sqrt((((mass + front_joined_1_1) + rear_joined_1_1) - (v142 * v142))))
    v154 = (v138 * (front_joined_2_0 + rear_joined_2_0))
    v160 = (v150 * ((front_joined_2_1 + rear_joined_2_1) - (v142 * v154)))
    v170 = (1.0 / sqrt(((((mass + front_joined_2_2) + rear_joined_2_2) - (v154 * v154)) - (v160 * v160))))
    v174 = (v138 * (front_joined_3_0 + rear_joined_3_0))
    v180 = (v150 * ((front_joined_3_1 + rear_joined_3_1) - (v142 * v174)))
    v188 = (v170 * (((front_joined_3_2 + rear_joined_3_2) - (v154 * v174)) - (v160 * v180)))
    v200 = (1.0 / sqrt((((((v50 + front_joined_3_3) + rear_joined_3_3) - (v174 * v174)) - (v180 * v180)) - (v188 * v188))))
    v204 = (v138 * (front_joined_4_0 + rear_joined_4_0))
    v210 = (v150 * ((front_joined_4_1 + rear_joined_4_1) - (v142 * v204)))
    v218 = (v170 * (((front_joined_4_2 + rear_joined_4_2) - (v154 * v204)) - (v160 * v210)))
    v229 = (v200 * (((((v58 + front_joined_4_3) + rear_joined_4_3) - (v174 * v204)) - (v180 * v210)) - (v188 * v218)))
    v243 = (1.0 / sqrt(((((((v66 + front_joined_4_4) + rear_joined_4_4) - (v204 * v204)) - (v210 * v210)) - (v218 * v218)) - (v229 * v229))))
    v247 = (v138 * (front_joined_5_0 + rear_joined_5_0))
    v253 = (v150 * ((front_joined_5_1 + rear_joined_5_1) - (v142 * v247)))
    v261 = (v170 * (((front_joined_5_2 + rear_joined_5_2) - (v154 * v247)) - (v160 * v253)))
    v272 = (v200 * (((((v74 + front_joined_5_3) + rear_joined_5_3) - (v174 * v247)) - (v180 * v253)) - (v188 * v261)))
    v285 = (v243 * ((((((v82 + front_joined_5_4) + rear_joined_5_4) - (v204 * v247)) - (v210 * v253)) - (v218 * v261)) - (v229 * v272)))
    v301 = (1.0 / sqrt((((((((v90 + front_joined_5_5) + rear_joined_5_5) - (v247 * v247)) - (v253 * v253)) - (v261 * v261)) - (v272 * v272)) - (v285 * v285))))
    v305 = (v138 * (front_joined_6_0 + rear_joined_6_0))
    v311 = (v150 * ((front_joined_6_1 + rear_joined_6_1) - (v142 * v305)))
    v319 = (v170 * (((front_joined_6_2 + rear_joined_6_2) - (v154 * v305)) - (v160 * v311)))
    v329 = (v200 * ((((front_joined_6_3 + rear_joined_6_3) - (v174 * v305)) - (v180 * v311)) - (v188 * v319)))
    v341 = (v243 * (((((front_joined_6_4 + rear_joined_6_4) - (v204 * v305)) - (v210 * v311)) - (v218 * v319)) - (v229 * v329)))
    v355 = (v301 * ((((((front_joined_6_5 + rear_joined_6_5) - (v247 * v305)) - (v253 * v311)) - (v261 * v319)) - (v272 * v329)) - (v285 * v341)))
    v374 = (1.0 / sqrt(((((((((front_joined_6_6 + rear_joined_6_6) + rotor_inertia) - (v305 * v305)) - (v311 * v311)) - (v319 * v319)) - (v329 * v329)) - (v341 * v341)) - (v355 * v355))))
    v410 = (v138 * ((front_pushed_0 + rear_pushed_0) + (mass * gravity_x)))
    v413 = (v150 * (((front_pushed_1 + rear_pushed_1) + (mass * gravity_y)) - (v142 * v410)))
    v418 = (v170 * ((((front_pushed_2 + rear_pushed_2) + (mass * gravity_z)) - (v154 * v410)) - (v160 * v413)))
    v425 = (v200 * (((((front_pushed_3 + rear_pushed_3) - ((v36 * v105) - (v39 * v100))) - (v174 * v410)) - (v180 * v413)) - (v188 * v418)))
    v434 = (v243 * ((((((front_pushed_4 + rear_pushed_4) - ((v39 * v95) - (v33 * v105))) - (v204 * v410)) - (v210 * v413)) - (v218 * v418)) - (v229 * v425)))
    v445 = (v301 * (((((((front_pushed_5 + rear_pushed_5) - ((v33 * v100) - (v36 * v95))) - (v247 * v410)) - (v253 * v413)) - (v261 * v418)) - (v272 * v425)) - (v285 * v434)))
    v459 = (v374 * (v374 * (((((((((v121 + front_pushed_6) + rear_pushed_6) - v126) - (v305 * v410)) - (v311 * v413)) - (v319 * v418)) - (v329 * v425)) - (v341 * v434)) - (v355 * v445))))
    v462 = (v301 * (v445 - (v355 * v459)))
    v467 = (v243 * ((v434 - (v341 * v459)) - (v285 * v462)))
    v474 = (v200 * (((v425 - (v329 * v459)) - (v272 * v462)) - (v229 * v467)))
    v483 = (v170 * ((((v418 - (v319 * v459)) - (v261 * v462)) - (v218 * v467)) - (v188 * v474)))
    v494 = (v150 * (((((v413 - (v311 * v459)) - (v253 * v462)) - (v210 * v467)) - (v180 * v474)) - (v160 * v483)))
    v508 = (-v1)
    v526 = (v474 - ((chassis_roll_rate * ((v11 * v34) - (v10 * chassis_heading_rate))) + ((chassis_pitch_rate * chassis_heading_rate) * v508)))
    v527 = (v467 - ((chassis_roll_rate * ((v8 * chassis_heading_rate) - (v11 * v30))) + (v30 * chassis_heading_rate)))
    v535 = (((v508 * v526) + (v3 * v527)) / ((v8 * v508) + (v3 * v10)))
    return ((v138 * ((((((v410 - (v305 * v459)) - (v247 * v462)) - (v204 * v467)) - (v174 * v474)) - (v154 * v483)) - (v142 * v494))), v494, v483, v474, v467, v462, v459, ((v462 - (chassis_roll_rate * ((v10 * v30) - (v8 * v34)))) - (v11 * v535)), ((v1 * v527) + (v3 * v526)), v535, (motor_speed * v121), (motor_speed * v126), ((brake_torque * (1.0 - (v124 * v124))) / brake_speed),)


def axle_follows(accelerations, carried, axle_state, axle_speeds, numbers):
    """Accelerations of the axle's coordinates (6) and spin, tensions (4), wheel torque."""
    (chassis_x, chassis_y, chassis_z, chassis_turn_x, chassis_turn_y, chassis_turn_z, motor,) = accelerations
    (factor_0_0, factor_1_0, factor_1_1, factor_2_0, factor_2_1, factor_2_2, factor_3_0, factor_3_1,
        factor_3_2, factor_3_3, factor_4_0, factor_4_1, factor_4_2, factor_4_3, factor_4_4, led_0_0, led_0_1,
        led_0_2, led_0_3, led_0_4, led_0_5, led_1_0, led_1_1, led_1_2, led_1_3, led_1_4, led_1_5, led_2_0,
        led_2_1, led_2_2, led_2_3, led_2_4, led_2_5, led_3_0, led_3_1, led_3_2, led_3_3, led_3_4, led_3_5,
        led_4_0, led_4_1, led_4_2, led_4_3, led_4_4, led_4_5, led_4_6, along_1_x, along_1_y, along_1_z,
        along_2_x, along_2_y, along_2_z, along_3_x, along_3_y, along_3_z, along_4_x, along_4_y, along_4_z,
        turn_1_x, turn_1_y, turn_1_z, turn_2_x, turn_2_y, turn_2_z, turn_3_x, turn_3_y, turn_3_z, turn_4_x,
        turn_4_y, turn_4_z, turn_5_x, turn_5_y, turn_5_z, wheel_axis_x, wheel_axis_y, wheel_axis_z, free_0,
        free_1, free_2, free_3, free_4, force_0, force_1, force_2, force_3, force_4, force_5,
        force_6,) = carried
    (axle_x, axle_y, axle_z, axle_heading, axle_roll, axle_pitch,) = axle_state
    (axle_x_rate, axle_y_rate, axle_z_rate, axle_heading_rate, axle_roll_rate, axle_pitch_rate,) = axle_speeds
    (rod_1_chassis_x, rod_1_chassis_y, rod_1_chassis_z, rod_1_axle_x, rod_1_axle_y, rod_1_axle_z,
        rod_2_chassis_x, rod_2_chassis_y, rod_2_chassis_z, rod_2_axle_x, rod_2_axle_y, rod_2_axle_z,
        rod_3_chassis_x, rod_3_chassis_y, rod_3_chassis_z, rod_3_axle_x, rod_3_axle_y, rod_3_axle_z,
        rod_4_chassis_x, rod_4_chassis_y, rod_4_chassis_z, rod_4_axle_x, rod_4_axle_y, rod_4_axle_z,
        rod_1_length, rod_2_length, rod_3_length, rod_4_length, shock_chassis_x, shock_chassis_y,
        shock_chassis_z, shock_axle_x, shock_axle_y, shock_axle_z, shock_chassis_shift, shock_axle_shift,
        spring_rate, damping, free_length, longest, shortest, stop_stiffness, stop_damping, wheel_x, wheel_y,
        wheel_z, half_track, tyre_radius, tyre_stiffness, tyre_damping, grip, slip_speed, slip_ratio_scale,
        rolling_resistance, contact_give, driven, driven_shaft, motor_ratio, mass, roll_inertia,
        pitch_inertia, wheels_inertia,) = numbers
    v1 = cos(axle_heading)
    v2 = sin(axle_heading)
    v3 = (-v2)
    v5 = cos(axle_roll)
    v6 = sin(axle_roll)
    v7 = (v3 * v5)
    v10 = (v1 * v5)
    v34 = (v1 * axle_roll_rate)
    v37 = (v2 * axle_roll_rate)
    v148 = ((((((((free_4 - (chassis_turn_x * led_4_3)) - (chassis_turn_y * led_4_4)) - (chassis_turn_z * led_4_5)) - (chassis_x * led_4_0)) - (chassis_y * led_4_1)) - (chassis_z * led_4_2)) - (led_4_6 * motor)) * factor_4_4)
    v153 = (factor_3_3 * (((((((free_3 - (chassis_turn_x * led_3_3)) - (chassis_turn_y * led_3_4)) - (chassis_turn_z * led_3_5)) - (chassis_x * led_3_0)) - (chassis_y * led_3_1)) - (chassis_z * led_3_2)) - (v148 * factor_4_3)))
    v161 = (factor_2_2 * ((((((((free_2 - (chassis_turn_x * led_2_3)) - (chassis_turn_y * led_2_4)) - (chassis_turn_z * led_2_5)) - (chassis_x * led_2_0)) - (chassis_y * led_2_1)) - (chassis_z * led_2_2)) - (v153 * factor_3_2)) - (v148 * factor_4_2)))
    v172 = (factor_1_1 * (((((((((free_1 - (chassis_turn_x * led_1_3)) - (chassis_turn_y * led_1_4)) - (chassis_turn_z * led_1_5)) - (chassis_x * led_1_0)) - (chassis_y * led_1_1)) - (chassis_z * led_1_2)) - (v161 * factor_2_1)) - (v153 * factor_3_1)) - (v148 * factor_4_1)))
    v186 = (factor_0_0 * ((((((((((free_0 - (chassis_turn_x * led_0_3)) - (chassis_turn_y * led_0_4)) - (chassis_turn_z * led_0_5)) - (chassis_x * led_0_0)) - (chassis_y * led_0_1)) - (chassis_z * led_0_2)) - (v172 * factor_1_0)) - (v161 * factor_2_0)) - (v153 * factor_3_0)) - (v148 * factor_4_0)))
    v264 = (1.0 / mass)
    v275 = ((((((v186 * turn_1_x) + (v172 * turn_2_x)) + (v161 * turn_3_x)) + (v153 * turn_4_x)) + (v148 * turn_5_x)) + force_3)
    v277 = ((((((v186 * turn_1_y) + (v172 * turn_2_y)) + (v161 * turn_3_y)) + (v153 * turn_4_y)) + (v148 * turn_5_y)) + force_4)
    v279 = ((((((v186 * turn_1_z) + (v172 * turn_2_z)) + (v161 * turn_3_z)) + (v153 * turn_4_z)) + (v148 * turn_5_z)) + force_5)
    v281 = (1.0 / roll_inertia)
    v293 = (((1.0 / pitch_inertia) - v281) * (((v275 * wheel_axis_x) + (v277 * wheel_axis_y)) + (v279 * wheel_axis_z)))
    v326 = (((v275 * v281) + (wheel_axis_x * v293)) - ((axle_pitch_rate * ((v6 * v37) - (v10 * axle_heading_rate))) + ((v3 * axle_roll_rate) * axle_heading_rate)))
    v327 = (((v277 * v281) + (wheel_axis_y * v293)) - ((axle_pitch_rate * ((v7 * axle_heading_rate) - (v6 * v34))) + (v34 * axle_heading_rate)))
    v335 = (((v1 * v327) + (v3 * v326)) / ((v1 * v10) + (v3 * v7)))
    return ((v264 * (((((v186 * along_1_x) + (v172 * along_2_x)) + (v161 * along_3_x)) + (v153 * along_4_x)) + force_0)), (v264 * (((((v186 * along_1_y) + (v172 * along_2_y)) + (v161 * along_3_y)) + (v153 * along_4_y)) + force_1)), (v264 * (((((v186 * along_1_z) + (v172 * along_2_z)) + (v161 * along_3_z)) + (v153 * along_4_z)) + force_2)), ((((v279 * v281) + (wheel_axis_z * v293)) - (axle_pitch_rate * ((v10 * v34) - (v7 * v37)))) - (v6 * v335)), ((v1 * v326) + (v2 * v327)), v335, ((force_6 + (v148 * driven)) / wheels_inertia), v186, v172, v161, v153, v148,)


def axle_drifts(chassis, chassis_speeds, axle_state, axle_speeds, spins, numbers):
    """S (28), p of places and of speeds (7 each), PROJECTED; residuals (4) and drifts (5)."""
    (chassis_x, chassis_y, chassis_z, chassis_heading, chassis_pitch, chassis_roll,) = chassis
    (chassis_x_rate, chassis_y_rate, chassis_z_rate, chassis_heading_rate, chassis_pitch_rate,
        chassis_roll_rate,) = chassis_speeds
    (axle_x, axle_y, axle_z, axle_heading, axle_roll, axle_pitch,) = axle_state
    (axle_x_rate, axle_y_rate, axle_z_rate, axle_heading_rate, axle_roll_rate, axle_pitch_rate,) = axle_speeds
    (spin, motor_speed,) = spins
    (rod_1_chassis_x, rod_1_chassis_y, rod_1_chassis_z, rod_1_axle_x, rod_1_axle_y, rod_1_axle_z,
        rod_2_chassis_x, rod_2_chassis_y, rod_2_chassis_z, rod_2_axle_x, rod_2_axle_y, rod_2_axle_z,
        rod_3_chassis_x, rod_3_chassis_y, rod_3_chassis_z, rod_3_axle_x, rod_3_axle_y, rod_3_axle_z,
        rod_4_chassis_x, rod_4_chassis_y, rod_4_chassis_z, rod_4_axle_x, rod_4_axle_y, rod_4_axle_z,
        rod_1_length, rod_2_length, rod_3_length, rod_4_length, shock_chassis_x, shock_chassis_y,
        shock_chassis_z, shock_axle_x, shock_axle_y, shock_axle_z, shock_chassis_shift, shock_axle_shift,
        spring_rate, damping, free_length, longest, shortest, stop_stiffness, stop_damping, wheel_x, wheel_y,
        wheel_z, half_track, tyre_radius, tyre_stiffness, tyre_damping, grip, slip_speed, slip_ratio_scale,
        rolling_resistance, contact_give, driven, driven_shaft, motor_ratio, mass, roll_inertia,
        pitch_inertia, wheels_inertia,) = numbers
    v1 = cos(chassis_heading)
    v2 = sin(chassis_heading)
    v3 = (-v2)
    v5 = cos(chassis_pitch)
    v6 = sin(chassis_pitch)
    v7 = (v1 * v6)
    v8 = (v1 * v5)
    v9 = (v2 * v6)
    v10 = (v2 * v5)
    v11 = (-v6)
    v13 = cos(chassis_roll)
    v14 = sin(chassis_roll)
    v17 = ((v3 * v13) + (v7 * v14))
    v20 = ((v7 * v13) - (v3 * v14))
    v23 = ((v1 * v13) + (v9 * v14))
    v26 = ((v9 * v13) - (v1 * v14))
    v27 = (v5 * v14)
    v28 = (v5 * v13)
    v33 = ((v3 * chassis_pitch_rate) + (v8 * chassis_roll_rate))
    v36 = ((v1 * chassis_pitch_rate) + (v10 * chassis_roll_rate))
    v39 = (chassis_heading_rate + (v11 * chassis_roll_rate))
    v41 = cos(axle_heading)
    v42 = sin(axle_heading)
    v43 = (-v42)
    v45 = cos(axle_roll)
    v46 = sin(axle_roll)
    v47 = (v43 * v45)
    v49 = (-(v43 * v46))
    v50 = (v41 * v45)
    v52 = (-(v41 * v46))
    v54 = cos(axle_pitch)
    v55 = sin(axle_pitch)
    v58 = ((v41 * v55) + (v49 * v54))
    v61 = ((v41 * v54) - (v49 * v55))
    v64 = ((v42 * v55) + (v52 * v54))
    v67 = ((v42 * v54) - (v52 * v55))
    v68 = (v45 * v54)
    v70 = (-(v45 * v55))
    v75 = ((v47 * axle_pitch_rate) + (v41 * axle_roll_rate))
    v78 = ((v50 * axle_pitch_rate) + (v42 * axle_roll_rate))
    v81 = (axle_heading_rate + (v46 * axle_pitch_rate))
    v89 = (((v8 * rod_1_chassis_x) + (v17 * rod_1_chassis_y)) + (v20 * rod_1_chassis_z))
    v94 = (((v10 * rod_1_chassis_x) + (v23 * rod_1_chassis_y)) + (v26 * rod_1_chassis_z))
    v99 = (((v11 * rod_1_chassis_x) + (v27 * rod_1_chassis_y)) + (v28 * rod_1_chassis_z))
    v131 = (((v61 * rod_1_axle_x) + (v47 * rod_1_axle_y)) + (v58 * rod_1_axle_z))
    v136 = (((v67 * rod_1_axle_x) + (v50 * rod_1_axle_y)) + (v64 * rod_1_axle_z))
    v141 = (((v70 * rod_1_axle_x) + (v46 * rod_1_axle_y)) + (v68 * rod_1_axle_z))
    v170 = (((v131 + axle_x) - v89) - chassis_x)
    v175 = (((v136 + axle_y) - v94) - chassis_y)
    v180 = (((v141 + axle_z) - v99) - chassis_z)
    v186 = (1.0 / rod_1_length)
    v187 = (v170 * v186)
    v188 = (-v187)
    v189 = (v175 * v186)
    v190 = (-v189)
    v191 = (v180 * v186)
    v192 = (-v191)
    v209 = ((v136 * v192) - (v141 * v190))
    v212 = ((v141 * v188) - (v131 * v192))
    v215 = ((v131 * v190) - (v136 * v188))
    v225 = ((v99 * v190) - (v94 * v192))
    v226 = ((v89 * v192) - (v99 * v188))
    v227 = ((v94 * v188) - (v89 * v190))
    v238 = ((rod_1_length * 0.5) - ((v186 * (((v170 * v170) + (v175 * v175)) + (v180 * v180))) * 0.5))
    v246 = (((v8 * rod_2_chassis_x) + (v17 * rod_2_chassis_y)) + (v20 * rod_2_chassis_z))
    v251 = (((v10 * rod_2_chassis_x) + (v23 * rod_2_chassis_y)) + (v26 * rod_2_chassis_z))
    v256 = (((v11 * rod_2_chassis_x) + (v27 * rod_2_chassis_y)) + (v28 * rod_2_chassis_z))
    v285 = (((v61 * rod_2_axle_x) + (v47 * rod_2_axle_y)) + (v58 * rod_2_axle_z))
    v290 = (((v67 * rod_2_axle_x) + (v50 * rod_2_axle_y)) + (v64 * rod_2_axle_z))
    v295 = (((v70 * rod_2_axle_x) + (v46 * rod_2_axle_y)) + (v68 * rod_2_axle_z))
    v319 = (((axle_x + v285) - chassis_x) - v246)
    v322 = (((axle_y + v290) - chassis_y) - v251)
    v325 = (((axle_z + v295) - chassis_z) - v256)
    v330 = (1.0 / rod_2_length)
    v331 = (v319 * v330)
    v332 = (-v331)
    v333 = (v322 * v330)
    v334 = (-v333)
    v335 = (v325 * v330)
    v336 = (-v335)
    v353 = ((v290 * v336) - (v295 * v334))
    v356 = ((v295 * v332) - (v285 * v336))
    v359 = ((v285 * v334) - (v290 * v332))
    v369 = ((v256 * v334) - (v251 * v336))
    v370 = ((v246 * v336) - (v256 * v332))
    v371 = ((v251 * v332) - (v246 * v334))
    v378 = (0.5 * rod_2_length)
    v380 = ((0.5 * v330) * (((v319 * v319) + (v322 * v322)) + (v325 * v325)))
    v389 = (((v8 * rod_3_chassis_x) + (v17 * rod_3_chassis_y)) + (v20 * rod_3_chassis_z))
    v394 = (((v10 * rod_3_chassis_x) + (v23 * rod_3_chassis_y)) + (v26 * rod_3_chassis_z))
    v399 = (((v11 * rod_3_chassis_x) + (v27 * rod_3_chassis_y)) + (v28 * rod_3_chassis_z))
    v428 = (((v61 * rod_3_axle_x) + (v47 * rod_3_axle_y)) + (v58 * rod_3_axle_z))
    v433 = (((v67 * rod_3_axle_x) + (v50 * rod_3_axle_y)) + (v64 * rod_3_axle_z))
    v438 = (((v70 * rod_3_axle_x) + (v46 * rod_3_axle_y)) + (v68 * rod_3_axle_z))
    v462 = (((axle_x + v428) - chassis_x) - v389)
    v465 = (((axle_y + v433) - chassis_y) - v394)
    v468 = (((axle_z + v438) - chassis_z) - v399)
    v473 = (1.0 / rod_3_length)
    v474 = (v462 * v473)
    v475 = (-v474)
    v476 = (v465 * v473)
    v477 = (-v476)
    v478 = (v468 * v473)
    v479 = (-v478)
    v496 = ((v433 * v479) - (v438 * v477))
    v499 = ((v438 * v475) - (v428 * v479))
    v502 = ((v428 * v477) - (v433 * v475))
    v512 = ((v399 * v477) - (v394 * v479))
    v513 = ((v389 * v479) - (v399 * v475))
    v514 = ((v394 * v475) - (v389 * v477))
    v521 = (0.5 * rod_3_length)
    v523 = ((0.5 * v473) * (((v462 * v462) + (v465 * v465)) + (v468 * v468)))
    v532 = (((v8 * rod_4_chassis_x) + (v17 * rod_4_chassis_y)) + (v20 * rod_4_chassis_z))
    v537 = (((v10 * rod_4_chassis_x) + (v23 * rod_4_chassis_y)) + (v26 * rod_4_chassis_z))
    v542 = (((v11 * rod_4_chassis_x) + (v27 * rod_4_chassis_y)) + (v28 * rod_4_chassis_z))
    v571 = (((v61 * rod_4_axle_x) + (v47 * rod_4_axle_y)) + (v58 * rod_4_axle_z))
    v576 = (((v67 * rod_4_axle_x) + (v50 * rod_4_axle_y)) + (v64 * rod_4_axle_z))
    v581 = (((v70 * rod_4_axle_x) + (v46 * rod_4_axle_y)) + (v68 * rod_4_axle_z))
    v605 = (((axle_x + v571) - chassis_x) - v532)
    v608 = (((axle_y + v576) - chassis_y) - v537)
    v611 = (((axle_z + v581) - chassis_z) - v542)
    v616 = (1.0 / rod_4_length)
    v617 = (v605 * v616)
    v618 = (-v617)
    v619 = (v608 * v616)
    v620 = (-v619)
    v621 = (v611 * v616)
    v622 = (-v621)
    v639 = ((v576 * v622) - (v581 * v620))
    v642 = ((v581 * v618) - (v571 * v622))
    v645 = ((v571 * v620) - (v576 * v618))
    v655 = ((v542 * v620) - (v537 * v622))
    v656 = ((v532 * v622) - (v542 * v618))
    v657 = ((v537 * v618) - (v532 * v620))
    v664 = (0.5 * rod_4_length)
    v666 = ((0.5 * v616) * (((v605 * v605) + (v608 * v608)) + (v611 * v611)))
    v678 = (v8 * driven_shaft)
    v681 = (v678 - (v47 * driven))
    v682 = (v10 * driven_shaft)
    v684 = (v682 - (v50 * driven))
    v685 = (v11 * driven_shaft)
    v687 = (v685 - (v46 * driven))
    v688 = (-v678)
    v689 = (-v682)
    v690 = (-v685)
    v1314 = (1.0 / mass)
    v1316 = (v188 * v1314)
    v1317 = (v190 * v1314)
    v1318 = (v192 * v1314)
    v1319 = (1.0 / roll_inertia)
    v1321 = ((1.0 / pitch_inertia) - v1319)
    v1327 = (v1321 * (((v46 * v215) + (v47 * v209)) + (v50 * v212)))
    v1330 = ((v47 * v1327) + (v209 * v1319))
    v1333 = ((v50 * v1327) + (v212 * v1319))
    v1336 = ((v46 * v1327) + (v215 * v1319))
    v1337 = (v332 * v1314)
    v1338 = (v334 * v1314)
    v1339 = (v336 * v1314)
    v1345 = (v1321 * (((v47 * v353) + (v50 * v356)) + (v46 * v359)))
    v1348 = ((v353 * v1319) + (v47 * v1345))
    v1351 = ((v356 * v1319) + (v50 * v1345))
    v1354 = ((v359 * v1319) + (v46 * v1345))
    v1355 = (v475 * v1314)
    v1356 = (v477 * v1314)
    v1357 = (v479 * v1314)
    v1363 = (v1321 * (((v47 * v496) + (v50 * v499)) + (v46 * v502)))
    v1366 = ((v496 * v1319) + (v47 * v1363))
    v1369 = ((v499 * v1319) + (v50 * v1363))
    v1372 = ((v502 * v1319) + (v46 * v1363))
    v1381 = (v1321 * (((v47 * v639) + (v50 * v642)) + (v46 * v645)))
    v1384 = ((v639 * v1319) + (v47 * v1381))
    v1387 = ((v642 * v1319) + (v50 * v1381))
    v1390 = ((v645 * v1319) + (v46 * v1381))
    v1396 = (v1321 * (((v46 * v687) + (v47 * v681)) + (v50 * v684)))
    v1419 = (1.0 / sqrt(((((v188 * v1316) + (v190 * v1317)) + (v192 * v1318)) + (((v209 * v1330) + (v212 * v1333)) + (v215 * v1336)))))
    v1431 = (v1419 * ((((v332 * v1316) + (v334 * v1317)) + (v336 * v1318)) + (((v353 * v1330) + (v356 * v1333)) + (v359 * v1336))))
    v1446 = (1.0 / sqrt((((((v332 * v1337) + (v334 * v1338)) + (v336 * v1339)) + (((v353 * v1348) + (v356 * v1351)) + (v359 * v1354))) - (v1431 * v1431))))
    v1458 = (v1419 * ((((v475 * v1316) + (v477 * v1317)) + (v479 * v1318)) + (((v496 * v1330) + (v499 * v1333)) + (v502 * v1336))))
    v1472 = (v1446 * (((((v475 * v1337) + (v477 * v1338)) + (v479 * v1339)) + (((v496 * v1348) + (v499 * v1351)) + (v502 * v1354))) - (v1431 * v1458)))
    v1489 = (1.0 / sqrt(((((((v475 * v1355) + (v477 * v1356)) + (v479 * v1357)) + (((v496 * v1366) + (v499 * v1369)) + (v502 * v1372))) - (v1458 * v1458)) - (v1472 * v1472))))
    v1501 = (v1419 * ((((v618 * v1316) + (v620 * v1317)) + (v622 * v1318)) + (((v639 * v1330) + (v642 * v1333)) + (v645 * v1336))))
    v1515 = (v1446 * (((((v618 * v1337) + (v620 * v1338)) + (v622 * v1339)) + (((v639 * v1348) + (v642 * v1351)) + (v645 * v1354))) - (v1431 * v1501)))
    v1531 = (v1489 * ((((((v618 * v1355) + (v620 * v1356)) + (v622 * v1357)) + (((v639 * v1366) + (v642 * v1369)) + (v645 * v1372))) - (v1458 * v1501)) - (v1472 * v1515)))
    v1550 = (1.0 / sqrt((((((((v618 * (v618 * v1314)) + (v620 * (v620 * v1314))) + (v622 * (v622 * v1314))) + (((v639 * v1384) + (v642 * v1387)) + (v645 * v1390))) - (v1501 * v1501)) - (v1515 * v1515)) - (v1531 * v1531))))
    v1556 = (v1419 * (((v681 * v1330) + (v684 * v1333)) + (v687 * v1336)))
    v1564 = (v1446 * ((((v681 * v1348) + (v684 * v1351)) + (v687 * v1354)) - (v1431 * v1556)))
    v1574 = (v1489 * (((((v681 * v1366) + (v684 * v1369)) + (v687 * v1372)) - (v1458 * v1556)) - (v1472 * v1564)))
    v1586 = (v1550 * ((((((v681 * v1384) + (v684 * v1387)) + (v687 * v1390)) - (v1501 * v1556)) - (v1515 * v1564)) - (v1531 * v1574)))
    v1605 = (1.0 / sqrt((((((((1.0 + (((v681 * ((v681 * v1319) + (v47 * v1396))) + (v684 * ((v684 * v1319) + (v50 * v1396)))) + (v687 * ((v46 * v1396) + (v687 * v1319))))) + (driven * (driven * (1.0 / wheels_inertia)))) - driven) - (v1556 * v1556)) - (v1564 * v1564)) - (v1574 * v1574)) - (v1586 * v1586))))
    v1606 = (v187 * v1419)
    v1609 = (v1446 * (v331 - (v1431 * v1606)))
    v1614 = (v1489 * ((v474 - (v1458 * v1606)) - (v1472 * v1609)))
    v1621 = (v1550 * (((v617 - (v1501 * v1606)) - (v1515 * v1609)) - (v1531 * v1614)))
    v1630 = (v1605 * ((((-(v1556 * v1606)) - (v1564 * v1609)) - (v1574 * v1614)) - (v1586 * v1621)))
    v1631 = (v189 * v1419)
    v1634 = (v1446 * (v333 - (v1431 * v1631)))
    v1639 = (v1489 * ((v476 - (v1458 * v1631)) - (v1472 * v1634)))
    v1646 = (v1550 * (((v619 - (v1501 * v1631)) - (v1515 * v1634)) - (v1531 * v1639)))
    v1655 = (v1605 * ((((-(v1556 * v1631)) - (v1564 * v1634)) - (v1574 * v1639)) - (v1586 * v1646)))
    v1656 = (v191 * v1419)
    v1659 = (v1446 * (v335 - (v1431 * v1656)))
    v1664 = (v1489 * ((v478 - (v1458 * v1656)) - (v1472 * v1659)))
    v1671 = (v1550 * (((v621 - (v1501 * v1656)) - (v1515 * v1659)) - (v1531 * v1664)))
    v1680 = (v1605 * ((((-(v1556 * v1656)) - (v1564 * v1659)) - (v1574 * v1664)) - (v1586 * v1671)))
    v1681 = (v225 * v1419)
    v1684 = (v1446 * (v369 - (v1431 * v1681)))
    v1689 = (v1489 * ((v512 - (v1458 * v1681)) - (v1472 * v1684)))
    v1696 = (v1550 * (((v655 - (v1501 * v1681)) - (v1515 * v1684)) - (v1531 * v1689)))
    v1705 = (v1605 * ((((v688 - (v1556 * v1681)) - (v1564 * v1684)) - (v1574 * v1689)) - (v1586 * v1696)))
    v1706 = (v226 * v1419)
    v1709 = (v1446 * (v370 - (v1431 * v1706)))
    v1714 = (v1489 * ((v513 - (v1458 * v1706)) - (v1472 * v1709)))
    v1721 = (v1550 * (((v656 - (v1501 * v1706)) - (v1515 * v1709)) - (v1531 * v1714)))
    v1730 = (v1605 * ((((v689 - (v1556 * v1706)) - (v1564 * v1709)) - (v1574 * v1714)) - (v1586 * v1721)))
    v1731 = (v227 * v1419)
    v1734 = (v1446 * (v371 - (v1431 * v1731)))
    v1739 = (v1489 * ((v514 - (v1458 * v1731)) - (v1472 * v1734)))
    v1746 = (v1550 * (((v657 - (v1501 * v1731)) - (v1515 * v1734)) - (v1531 * v1739)))
    v1755 = (v1605 * ((((v690 - (v1556 * v1731)) - (v1564 * v1734)) - (v1574 * v1739)) - (v1586 * v1746)))
    v1758 = (-(v1605 * motor_ratio))
    v1955 = (axle_x_rate - chassis_x_rate)
    v1956 = (axle_y_rate - chassis_y_rate)
    v1957 = (axle_z_rate - chassis_z_rate)
    v1974 = (((((v75 * v209) + (v78 * v212)) + (v81 * v215)) + (((v33 * v225) + (v36 * v226)) + (v39 * v227))) + (((v188 * v1955) + (v190 * v1956)) + (v192 * v1957)))
    v1991 = (((((v75 * v353) + (v78 * v356)) + (v81 * v359)) + (((v33 * v369) + (v36 * v370)) + (v39 * v371))) + (((v332 * v1955) + (v334 * v1956)) + (v336 * v1957)))
    v2008 = (((((v75 * v496) + (v78 * v499)) + (v81 * v502)) + (((v33 * v512) + (v36 * v513)) + (v39 * v514))) + (((v475 * v1955) + (v477 * v1956)) + (v479 * v1957)))
    v2025 = (((((v75 * v639) + (v78 * v642)) + (v81 * v645)) + (((v33 * v655) + (v36 * v656)) + (v39 * v657))) + (((v618 * v1955) + (v620 * v1956)) + (v622 * v1957)))
    v2038 = (motor_ratio * motor_speed)
    v2040 = (((((v75 * v681) + (v78 * v684)) + (v81 * v687)) + (((v33 * v688) + (v36 * v689)) + (v39 * v690))) + (driven * spin))
    v2043 = (-(v238 * v1419))
    v2047 = (v1446 * ((v380 - v378) - (v1431 * v2043)))
    v2053 = (v1489 * (((v523 - v521) - (v1458 * v2043)) - (v1472 * v2047)))
    v2061 = (v1550 * ((((v666 - v664) - (v1501 * v2043)) - (v1515 * v2047)) - (v1531 * v2053)))
    v2070 = (v1605 * ((((-(v1556 * v2043)) - (v1564 * v2047)) - (v1574 * v2053)) - (v1586 * v2061)))
    v2072 = (-(v1419 * v1974))
    v2076 = (v1446 * ((-v1991) - (v1431 * v2072)))
    v2082 = (v1489 * (((-v2008) - (v1458 * v2072)) - (v1472 * v2076)))
    v2090 = (v1550 * ((((-v2025) - (v1501 * v2072)) - (v1515 * v2076)) - (v1531 * v2082)))
    v2100 = (v1605 * (((((v2038 - v2040) - (v1556 * v2072)) - (v1564 * v2076)) - (v1574 * v2082)) - (v1586 * v2090)))
    return ((((((v1606 * v1606) + (v1609 * v1609)) + (v1614 * v1614)) + (v1621 * v1621)) + (v1630 * v1630)),
        (((((v1606 * v1631) + (v1609 * v1634)) + (v1614 * v1639)) + (v1621 * v1646)) + (v1630 * v1655)),
        (((((v1631 * v1631) + (v1634 * v1634)) + (v1639 * v1639)) + (v1646 * v1646)) + (v1655 * v1655)),
        (((((v1606 * v1656) + (v1609 * v1659)) + (v1614 * v1664)) + (v1621 * v1671)) + (v1630 * v1680)),
        (((((v1631 * v1656) + (v1634 * v1659)) + (v1639 * v1664)) + (v1646 * v1671)) + (v1655 * v1680)),
        (((((v1656 * v1656) + (v1659 * v1659)) + (v1664 * v1664)) + (v1671 * v1671)) + (v1680 * v1680)),
        (((((v1606 * v1681) + (v1609 * v1684)) + (v1614 * v1689)) + (v1621 * v1696)) + (v1630 * v1705)),
        (((((v1631 * v1681) + (v1634 * v1684)) + (v1639 * v1689)) + (v1646 * v1696)) + (v1655 * v1705)),
        (((((v1656 * v1681) + (v1659 * v1684)) + (v1664 * v1689)) + (v1671 * v1696)) + (v1680 * v1705)),
        (((((v1681 * v1681) + (v1684 * v1684)) + (v1689 * v1689)) + (v1696 * v1696)) + (v1705 * v1705)),
        (((((v1606 * v1706) + (v1609 * v1709)) + (v1614 * v1714)) + (v1621 * v1721)) + (v1630 * v1730)),
        (((((v1631 * v1706) + (v1634 * v1709)) + (v1639 * v1714)) + (v1646 * v1721)) + (v1655 * v1730)),
        (((((v1656 * v1706) + (v1659 * v1709)) + (v1664 * v1714)) + (v1671 * v1721)) + (v1680 * v1730)),
        (((((v1681 * v1706) + (v1684 * v1709)) + (v1689 * v1714)) + (v1696 * v1721)) + (v1705 * v1730)),
        (((((v1706 * v1706) + (v1709 * v1709)) + (v1714 * v1714)) + (v1721 * v1721)) + (v1730 * v1730)),
        (((((v1606 * v1731) + (v1609 * v1734)) + (v1614 * v1739)) + (v1621 * v1746)) + (v1630 * v1755)),
        (((((v1631 * v1731) + (v1634 * v1734)) + (v1639 * v1739)) + (v1646 * v1746)) + (v1655 * v1755)),
        (((((v1656 * v1731) + (v1659 * v1734)) + (v1664 * v1739)) + (v1671 * v1746)) + (v1680 * v1755)),
        (((((v1681 * v1731) + (v1684 * v1734)) + (v1689 * v1739)) + (v1696 * v1746)) + (v1705 * v1755)),
        (((((v1706 * v1731) + (v1709 * v1734)) + (v1714 * v1739)) + (v1721 * v1746)) + (v1730 * v1755)),
        (((((v1731 * v1731) + (v1734 * v1734)) + (v1739 * v1739)) + (v1746 * v1746)) + (v1755 * v1755)),
        (v1630 * v1758), (v1655 * v1758), (v1680 * v1758), (v1705 * v1758), (v1730 * v1758), (v1755 * v1758),
        (v1758 * v1758),
        (((((v1606 * v2043) + (v1609 * v2047)) + (v1614 * v2053)) + (v1621 * v2061)) + (v1630 * v2070)),
        (((((v1631 * v2043) + (v1634 * v2047)) + (v1639 * v2053)) + (v1646 * v2061)) + (v1655 * v2070)),
        (((((v1656 * v2043) + (v1659 * v2047)) + (v1664 * v2053)) + (v1671 * v2061)) + (v1680 * v2070)),
        (((((v1681 * v2043) + (v1684 * v2047)) + (v1689 * v2053)) + (v1696 * v2061)) + (v1705 * v2070)),
        (((((v1706 * v2043) + (v1709 * v2047)) + (v1714 * v2053)) + (v1721 * v2061)) + (v1730 * v2070)),
        (((((v1731 * v2043) + (v1734 * v2047)) + (v1739 * v2053)) + (v1746 * v2061)) + (v1755 * v2070)),
        (v1758 * v2070),
        (((((v1606 * v2072) + (v1609 * v2076)) + (v1614 * v2082)) + (v1621 * v2090)) + (v1630 * v2100)),
        (((((v1631 * v2072) + (v1634 * v2076)) + (v1639 * v2082)) + (v1646 * v2090)) + (v1655 * v2100)),
        (((((v1656 * v2072) + (v1659 * v2076)) + (v1664 * v2082)) + (v1671 * v2090)) + (v1680 * v2100)),
        (((((v1681 * v2072) + (v1684 * v2076)) + (v1689 * v2082)) + (v1696 * v2090)) + (v1705 * v2100)),
        (((((v1706 * v2072) + (v1709 * v2076)) + (v1714 * v2082)) + (v1721 * v2090)) + (v1730 * v2100)),
        (((((v1731 * v2072) + (v1734 * v2076)) + (v1739 * v2082)) + (v1746 * v2090)) + (v1755 * v2100)),
        (v1758 * v2100), v1419, v1431, v1446, v1458, v1472, v1489, v1501, v1515, v1531, v1550, v1556, v1564,
        v1574, v1586, v1605, v1606, v1631, v1656, v1681, v1706, v1731, v1609, v1634, v1659, v1684, v1709,
        v1734, v1614, v1639, v1664, v1689, v1714, v1739, v1621, v1646, v1671, v1696, v1721, v1746, v1630,
        v1655, v1680, v1705, v1730, v1755, v1758, v188, v190, v192, v332, v334, v336, v475, v477, v479, v618,
        v620, v622, v209, v212, v215, v353, v356, v359, v496, v499, v502, v639, v642, v645, v681, v684, v687,
        v47, v50, v46, v2043, v2047, v2053, v2061, v2070, v2072, v2076, v2082, v2090, v2100, v238,
        (v378 - v380), (v521 - v523), (v664 - v666), v1974, v1991, v2008, v2025, (v2040 - v2038),)


def chassis_returns(chassis, chassis_speeds, motor_speed, rear_joined, rear_pushed, front_joined, front_pushed, numbers):
    """Moves and kicks of PARTS (7 each); chassis put back: coordinates (6), their rates (6), motor speed."""
    (chassis_x, chassis_y, chassis_z, chassis_heading, chassis_pitch, chassis_roll,) = chassis
    (chassis_x_rate, chassis_y_rate, chassis_z_rate, chassis_heading_rate, chassis_pitch_rate,
        chassis_roll_rate,) = chassis_speeds
    (rear_joined_0_0, rear_joined_1_0, rear_joined_1_1, rear_joined_2_0, rear_joined_2_1, rear_joined_2_2,
        rear_joined_3_0, rear_joined_3_1, rear_joined_3_2, rear_joined_3_3, rear_joined_4_0, rear_joined_4_1,
        rear_joined_4_2, rear_joined_4_3, rear_joined_4_4, rear_joined_5_0, rear_joined_5_1, rear_joined_5_2,
        rear_joined_5_3, rear_joined_5_4, rear_joined_5_5, rear_joined_6_0, rear_joined_6_1, rear_joined_6_2,
        rear_joined_6_3, rear_joined_6_4, rear_joined_6_5, rear_joined_6_6,) = rear_joined
    (rear_shoved_0, rear_shoved_1, rear_shoved_2, rear_shoved_3, rear_shoved_4, rear_shoved_5, rear_shoved_6,
        rear_kicked_0, rear_kicked_1, rear_kicked_2, rear_kicked_3, rear_kicked_4, rear_kicked_5,
        rear_kicked_6,) = rear_pushed
    (front_joined_0_0, front_joined_1_0, front_joined_1_1, front_joined_2_0, front_joined_2_1,
        front_joined_2_2, front_joined_3_0, front_joined_3_1, front_joined_3_2, front_joined_3_3,
        front_joined_4_0, front_joined_4_1, front_joined_4_2, front_joined_4_3, front_joined_4_4,
        front_joined_5_0, front_joined_5_1, front_joined_5_2, front_joined_5_3, front_joined_5_4,
        front_joined_5_5, front_joined_6_0, front_joined_6_1, front_joined_6_2, front_joined_6_3,
        front_joined_6_4, front_joined_6_5, front_joined_6_6,) = front_joined
    (front_shoved_0, front_shoved_1, front_shoved_2, front_shoved_3, front_shoved_4, front_shoved_5,
        front_shoved_6, front_kicked_0, front_kicked_1, front_kicked_2, front_kicked_3, front_kicked_4,
        front_kicked_5, front_kicked_6,) = front_pushed
    (mass, roll_inertia, pitch_inertia, yaw_inertia, rotor_inertia, stall_torque, no_load_speed,
        brake_speed,) = numbers
    v1 = cos(chassis_heading)
    v2 = sin(chassis_heading)
    v3 = (-v2)
    v5 = cos(chassis_pitch)
    v6 = sin(chassis_pitch)
    v7 = (v1 * v6)
    v8 = (v1 * v5)
    v9 = (v2 * v6)
    v10 = (v2 * v5)
    v11 = (-v6)
    v13 = cos(chassis_roll)
    v14 = sin(chassis_roll)
    v17 = ((v3 * v13) + (v7 * v14))
    v20 = ((v7 * v13) - (v3 * v14))
    v23 = ((v1 * v13) + (v9 * v14))
    v26 = ((v9 * v13) - (v1 * v14))
    v27 = (v5 * v14)
    v28 = (v5 * v13)
    v98 = (1.0 / sqrt(((front_joined_0_0 + mass) + rear_joined_0_0)))
    v102 = (v98 * (front_joined_1_0 + rear_joined_1_0))
    v110 = (1.0 / sqrt((((mass + front_joined_1_1) + rear_joined_1_1) - (v102 * v102))))
    v114 = (v98 * (front_joined_2_0 + rear_joined_2_0))
    v120 = (v110 * ((front_joined_2_1 + rear_joined_2_1) - (v102 * v114)))
    v130 = (1.0 / sqrt(((((mass + front_joined_2_2) + rear_joined_2_2) - (v114 * v114)) - (v120 * v120))))
    v134 = (v98 * (front_joined_3_0 + rear_joined_3_0))
    v140 = (v110 * ((front_joined_3_1 + rear_joined_3_1) - (v102 * v134)))
    v148 = (v130 * (((front_joined_3_2 + rear_joined_3_2) - (v114 * v134)) - (v120 * v140)))
    v160 = (1.0 / sqrt(((((((((pitch_inertia * (v17 * v17)) + (roll_inertia * (v8 * v8))) + (yaw_inertia * (v20 * v20))) + front_joined_3_3) + rear_joined_3_3) - (v134 * v134)) - (v140 * v140)) - (v148 * v148))))
    v164 = (v98 * (front_joined_4_0 + rear_joined_4_0))
    v170 = (v110 * ((front_joined_4_1 + rear_joined_4_1) - (v102 * v164)))
    v178 = (v130 * (((front_joined_4_2 + rear_joined_4_2) - (v114 * v164)) - (v120 * v170)))
    v189 = (v160 * (((((((((v17 * v23) * pitch_inertia) + ((v8 * v10) * roll_inertia)) + ((v20 * v26) * yaw_inertia)) + front_joined_4_3) + rear_joined_4_3) - (v134 * v164)) - (v140 * v170)) - (v148 * v178)))
    v203 = (1.0 / sqrt((((((((((pitch_inertia * (v23 * v23)) + (roll_inertia * (v10 * v10))) + (yaw_inertia * (v26 * v26))) + front_joined_4_4) + rear_joined_4_4) - (v164 * v164)) - (v170 * v170)) - (v178 * v178)) - (v189 * v189))))
    v207 = (v98 * (front_joined_5_0 + rear_joined_5_0))
    v213 = (v110 * ((front_joined_5_1 + rear_joined_5_1) - (v102 * v207)))
    v221 = (v130 * (((front_joined_5_2 + rear_joined_5_2) - (v114 * v207)) - (v120 * v213)))
    v232 = (v160 * (((((((((v17 * v27) * pitch_inertia) + ((v8 * v11) * roll_inertia)) + ((v20 * v28) * yaw_inertia)) + front_joined_5_3) + rear_joined_5_3) - (v134 * v207)) - (v140 * v213)) - (v148 * v221)))
    v245 = (v203 * ((((((((((v23 * v27) * pitch_inertia) + ((v10 * v11) * roll_inertia)) + ((v26 * v28) * yaw_inertia)) + front_joined_5_4) + rear_joined_5_4) - (v164 * v207)) - (v170 * v213)) - (v178 * v221)) - (v189 * v232)))
    v261 = (1.0 / sqrt(((((((((((pitch_inertia * (v27 * v27)) + (roll_inertia * (v11 * v11))) + (yaw_inertia * (v28 * v28))) + front_joined_5_5) + rear_joined_5_5) - (v207 * v207)) - (v213 * v213)) - (v221 * v221)) - (v232 * v232)) - (v245 * v245))))
    v265 = (v98 * (front_joined_6_0 + rear_joined_6_0))
    v271 = (v110 * ((front_joined_6_1 + rear_joined_6_1) - (v102 * v265)))
    v279 = (v130 * (((front_joined_6_2 + rear_joined_6_2) - (v114 * v265)) - (v120 * v271)))
    v289 = (v160 * ((((front_joined_6_3 + rear_joined_6_3) - (v134 * v265)) - (v140 * v271)) - (v148 * v279)))
    v301 = (v203 * (((((front_joined_6_4 + rear_joined_6_4) - (v164 * v265)) - (v170 * v271)) - (v178 * v279)) - (v189 * v289)))
    v315 = (v261 * ((((((front_joined_6_5 + rear_joined_6_5) - (v207 * v265)) - (v213 * v271)) - (v221 * v279)) - (v232 * v289)) - (v245 * v301)))
    v334 = (1.0 / sqrt(((((((((front_joined_6_6 + rear_joined_6_6) + rotor_inertia) - (v265 * v265)) - (v271 * v271)) - (v279 * v279)) - (v289 * v289)) - (v301 * v301)) - (v315 * v315))))
    v356 = (v98 * (front_shoved_0 + rear_shoved_0))
    v359 = (v110 * ((front_shoved_1 + rear_shoved_1) - (v102 * v356)))
    v364 = (v130 * (((front_shoved_2 + rear_shoved_2) - (v114 * v356)) - (v120 * v359)))
    v371 = (v160 * ((((front_shoved_3 + rear_shoved_3) - (v134 * v356)) - (v140 * v359)) - (v148 * v364)))
    v380 = (v203 * (((((front_shoved_4 + rear_shoved_4) - (v164 * v356)) - (v170 * v359)) - (v178 * v364)) - (v189 * v371)))
    v391 = (v261 * ((((((front_shoved_5 + rear_shoved_5) - (v207 * v356)) - (v213 * v359)) - (v221 * v364)) - (v232 * v371)) - (v245 * v380)))
    v405 = (v334 * (v334 * (((((((front_shoved_6 + rear_shoved_6) - (v265 * v356)) - (v271 * v359)) - (v279 * v364)) - (v289 * v371)) - (v301 * v380)) - (v315 * v391))))
    v408 = (v261 * (v391 - (v315 * v405)))
    v413 = (v203 * ((v380 - (v245 * v408)) - (v301 * v405)))
    v420 = (v160 * (((v371 - (v189 * v413)) - (v232 * v408)) - (v289 * v405)))
    v429 = (v130 * ((((v364 - (v148 * v420)) - (v178 * v413)) - (v221 * v408)) - (v279 * v405)))
    v440 = (v110 * (((((v359 - (v140 * v420)) - (v120 * v429)) - (v170 * v413)) - (v213 * v408)) - (v271 * v405)))
    v453 = (v98 * ((((((v356 - (v134 * v420)) - (v114 * v429)) - (v102 * v440)) - (v164 * v413)) - (v207 * v408)) - (v265 * v405)))
    v475 = (v98 * (front_kicked_0 + rear_kicked_0))
    v478 = (v110 * ((front_kicked_1 + rear_kicked_1) - (v102 * v475)))
    v483 = (v130 * (((front_kicked_2 + rear_kicked_2) - (v114 * v475)) - (v120 * v478)))
    v490 = (v160 * ((((front_kicked_3 + rear_kicked_3) - (v134 * v475)) - (v140 * v478)) - (v148 * v483)))
    v499 = (v203 * (((((front_kicked_4 + rear_kicked_4) - (v164 * v475)) - (v170 * v478)) - (v178 * v483)) - (v189 * v490)))
    v510 = (v261 * ((((((front_kicked_5 + rear_kicked_5) - (v207 * v475)) - (v213 * v478)) - (v221 * v483)) - (v232 * v490)) - (v245 * v499)))
    v524 = (v334 * (v334 * (((((((front_kicked_6 + rear_kicked_6) - (v265 * v475)) - (v271 * v478)) - (v279 * v483)) - (v289 * v490)) - (v301 * v499)) - (v315 * v510))))
    v527 = (v261 * (v510 - (v315 * v524)))
    v532 = (v203 * ((v499 - (v301 * v524)) - (v245 * v527)))
    v539 = (v160 * (((v490 - (v289 * v524)) - (v232 * v527)) - (v189 * v532)))
    v548 = (v130 * ((((v483 - (v279 * v524)) - (v221 * v527)) - (v178 * v532)) - (v148 * v539)))
    v559 = (v110 * (((((v478 - (v271 * v524)) - (v213 * v527)) - (v170 * v532)) - (v140 * v539)) - (v120 * v548)))
    v572 = (v98 * ((((((v475 - (v265 * v524)) - (v207 * v527)) - (v164 * v532)) - (v134 * v539)) - (v114 * v548)) - (v102 * v559)))
    v573 = (-v1)
    v579 = ((v8 * v573) + (v3 * v10))
    v580 = (((v420 * v573) + (v3 * v413)) / v579)
    v589 = (((v3 * v532) + (v539 * v573)) / v579)
    return (v453, v440, v429, v420, v413, v408, v405, v572, v559, v548, v539, v532, v527, v524,
        (v453 + chassis_x), (v440 + chassis_y), (v429 + chassis_z),
        (chassis_heading + (v408 - (v11 * v580))), (chassis_pitch + ((v1 * v413) + (v3 * v420))),
        (chassis_roll + v580), (v572 + chassis_x_rate), (v559 + chassis_y_rate), (v548 + chassis_z_rate),
        (chassis_heading_rate + (v527 - (v11 * v589))), (chassis_pitch_rate + ((v1 * v532) + (v3 * v539))),
        (chassis_roll_rate + v589), (v524 + motor_speed),)


def axle_returns(moved, carried, axle_state, axle_speeds, spin, numbers):
    """Axle put back: coordinates (6), their rates (6), spin."""
    (move_0, move_1, move_2, move_3, move_4, move_5, move_6, kick_part_0, kick_part_1, kick_part_2,
        kick_part_3, kick_part_4, kick_part_5, kick_part_6,) = moved
    (factor_0_0, factor_1_0, factor_1_1, factor_2_0, factor_2_1, factor_2_2, factor_3_0, factor_3_1,
        factor_3_2, factor_3_3, factor_4_0, factor_4_1, factor_4_2, factor_4_3, factor_4_4, led_0_0, led_0_1,
        led_0_2, led_0_3, led_0_4, led_0_5, led_1_0, led_1_1, led_1_2, led_1_3, led_1_4, led_1_5, led_2_0,
        led_2_1, led_2_2, led_2_3, led_2_4, led_2_5, led_3_0, led_3_1, led_3_2, led_3_3, led_3_4, led_3_5,
        led_4_0, led_4_1, led_4_2, led_4_3, led_4_4, led_4_5, led_4_6, along_1_x, along_1_y, along_1_z,
        along_2_x, along_2_y, along_2_z, along_3_x, along_3_y, along_3_z, along_4_x, along_4_y, along_4_z,
        turn_1_x, turn_1_y, turn_1_z, turn_2_x, turn_2_y, turn_2_z, turn_3_x, turn_3_y, turn_3_z, turn_4_x,
        turn_4_y, turn_4_z, turn_5_x, turn_5_y, turn_5_z, wheel_axis_x, wheel_axis_y, wheel_axis_z, shift_0,
        shift_1, shift_2, shift_3, shift_4, kick_0, kick_1, kick_2, kick_3, kick_4,) = carried
    (axle_x, axle_y, axle_z, axle_heading, axle_roll, axle_pitch,) = axle_state
    (axle_x_rate, axle_y_rate, axle_z_rate, axle_heading_rate, axle_roll_rate, axle_pitch_rate,) = axle_speeds
    (rod_1_chassis_x, rod_1_chassis_y, rod_1_chassis_z, rod_1_axle_x, rod_1_axle_y, rod_1_axle_z,
        rod_2_chassis_x, rod_2_chassis_y, rod_2_chassis_z, rod_2_axle_x, rod_2_axle_y, rod_2_axle_z,
        rod_3_chassis_x, rod_3_chassis_y, rod_3_chassis_z, rod_3_axle_x, rod_3_axle_y, rod_3_axle_z,
        rod_4_chassis_x, rod_4_chassis_y, rod_4_chassis_z, rod_4_axle_x, rod_4_axle_y, rod_4_axle_z,
        rod_1_length, rod_2_length, rod_3_length, rod_4_length, shock_chassis_x, shock_chassis_y,
        shock_chassis_z, shock_axle_x, shock_axle_y, shock_axle_z, shock_chassis_shift, shock_axle_shift,
        spring_rate, damping, free_length, longest, shortest, stop_stiffness, stop_damping, wheel_x, wheel_y,
        wheel_z, half_track, tyre_radius, tyre_stiffness, tyre_damping, grip, slip_speed, slip_ratio_scale,
        rolling_resistance, contact_give, driven, driven_shaft, motor_ratio, mass, roll_inertia,
        pitch_inertia, wheels_inertia,) = numbers
    v1 = cos(axle_heading)
    v2 = sin(axle_heading)
    v3 = (-v2)
    v5 = cos(axle_roll)
    v6 = sin(axle_roll)
    v148 = ((((((((shift_4 - (move_0 * led_4_0)) - (move_1 * led_4_1)) - (move_2 * led_4_2)) - (move_3 * led_4_3)) - (move_4 * led_4_4)) - (move_5 * led_4_5)) - (led_4_6 * move_6)) * factor_4_4)
    v153 = (factor_3_3 * (((((((shift_3 - (move_0 * led_3_0)) - (move_1 * led_3_1)) - (move_2 * led_3_2)) - (move_3 * led_3_3)) - (move_4 * led_3_4)) - (move_5 * led_3_5)) - (v148 * factor_4_3)))
    v161 = (factor_2_2 * ((((((((shift_2 - (move_0 * led_2_0)) - (move_1 * led_2_1)) - (move_2 * led_2_2)) - (move_3 * led_2_3)) - (move_4 * led_2_4)) - (move_5 * led_2_5)) - (v153 * factor_3_2)) - (v148 * factor_4_2)))
    v172 = (factor_1_1 * (((((((((shift_1 - (move_0 * led_1_0)) - (move_1 * led_1_1)) - (move_2 * led_1_2)) - (move_3 * led_1_3)) - (move_4 * led_1_4)) - (move_5 * led_1_5)) - (v161 * factor_2_1)) - (v153 * factor_3_1)) - (v148 * factor_4_1)))
    v186 = (factor_0_0 * ((((((((((shift_0 - (led_0_0 * move_0)) - (led_0_1 * move_1)) - (led_0_2 * move_2)) - (led_0_3 * move_3)) - (led_0_4 * move_4)) - (led_0_5 * move_5)) - (v172 * factor_1_0)) - (v161 * factor_2_0)) - (v153 * factor_3_0)) - (v148 * factor_4_0)))
    v233 = (((((v186 * turn_1_x) + (v172 * turn_2_x)) + (v161 * turn_3_x)) + (v153 * turn_4_x)) + (v148 * turn_5_x))
    v247 = (((((v186 * turn_1_y) + (v172 * turn_2_y)) + (v161 * turn_3_y)) + (v153 * turn_4_y)) + (v148 * turn_5_y))
    v261 = (((((v186 * turn_1_z) + (v172 * turn_2_z)) + (v161 * turn_3_z)) + (v153 * turn_4_z)) + (v148 * turn_5_z))
    v264 = (1.0 / mass)
    v269 = (1.0 / roll_inertia)
    v272 = ((1.0 / pitch_inertia) - v269)
    v281 = (v272 * (((v233 * wheel_axis_x) + (v247 * wheel_axis_y)) + (v261 * wheel_axis_z)))
    v284 = ((v233 * v269) + (wheel_axis_x * v281))
    v287 = ((v247 * v269) + (wheel_axis_y * v281))
    v369 = (factor_4_4 * (((((((kick_4 - (led_4_0 * kick_part_0)) - (led_4_1 * kick_part_1)) - (led_4_2 * kick_part_2)) - (led_4_3 * kick_part_3)) - (led_4_4 * kick_part_4)) - (led_4_5 * kick_part_5)) - (led_4_6 * kick_part_6)))
    v372 = (factor_3_3 * (((((((kick_3 - (led_3_0 * kick_part_0)) - (led_3_1 * kick_part_1)) - (led_3_2 * kick_part_2)) - (led_3_3 * kick_part_3)) - (led_3_4 * kick_part_4)) - (led_3_5 * kick_part_5)) - (factor_4_3 * v369)))
    v377 = (factor_2_2 * ((((((((kick_2 - (led_2_0 * kick_part_0)) - (led_2_1 * kick_part_1)) - (led_2_2 * kick_part_2)) - (led_2_3 * kick_part_3)) - (led_2_4 * kick_part_4)) - (led_2_5 * kick_part_5)) - (factor_3_2 * v372)) - (factor_4_2 * v369)))
    v384 = (factor_1_1 * (((((((((kick_1 - (led_1_0 * kick_part_0)) - (led_1_1 * kick_part_1)) - (led_1_2 * kick_part_2)) - (led_1_3 * kick_part_3)) - (led_1_4 * kick_part_4)) - (led_1_5 * kick_part_5)) - (factor_2_1 * v377)) - (factor_3_1 * v372)) - (factor_4_1 * v369)))
    v393 = (factor_0_0 * ((((((((((kick_0 - (led_0_0 * kick_part_0)) - (led_0_1 * kick_part_1)) - (led_0_2 * kick_part_2)) - (led_0_3 * kick_part_3)) - (led_0_4 * kick_part_4)) - (led_0_5 * kick_part_5)) - (factor_1_0 * v384)) - (factor_2_0 * v377)) - (factor_3_0 * v372)) - (factor_4_0 * v369)))
    v423 = (((((turn_1_x * v393) + (turn_2_x * v384)) + (turn_3_x * v377)) + (turn_4_x * v372)) + (turn_5_x * v369))
    v432 = (((((turn_1_y * v393) + (turn_2_y * v384)) + (turn_3_y * v377)) + (turn_4_y * v372)) + (turn_5_y * v369))
    v441 = (((((turn_1_z * v393) + (turn_2_z * v384)) + (turn_3_z * v377)) + (turn_4_z * v372)) + (turn_5_z * v369))
    v450 = (v272 * (((wheel_axis_x * v423) + (wheel_axis_y * v432)) + (wheel_axis_z * v441)))
    v453 = ((v269 * v423) + (wheel_axis_x * v450))
    v456 = ((v269 * v432) + (wheel_axis_y * v450))
    v467 = ((v1 * (v1 * v5)) + (v3 * (v3 * v5)))
    v468 = (((v1 * v287) + (v3 * v284)) / v467)
    v477 = (((v1 * v456) + (v3 * v453)) / v467)
    return (((((((v186 * along_1_x) + (v172 * along_2_x)) + (v161 * along_3_x)) + (v153 * along_4_x)) * v264) + axle_x), ((((((v186 * along_1_y) + (v172 * along_2_y)) + (v161 * along_3_y)) + (v153 * along_4_y)) * v264) + axle_y), ((((((v186 * along_1_z) + (v172 * along_2_z)) + (v161 * along_3_z)) + (v153 * along_4_z)) * v264) + axle_z), (axle_heading + (((v261 * v269) + (wheel_axis_z * v281)) - (v6 * v468))), (axle_roll + ((v1 * v284) + (v2 * v287))), (axle_pitch + v468), ((v264 * ((((along_1_x * v393) + (along_2_x * v384)) + (along_3_x * v377)) + (along_4_x * v372))) + axle_x_rate), ((v264 * ((((along_1_y * v393) + (along_2_y * v384)) + (along_3_y * v377)) + (along_4_y * v372))) + axle_y_rate), ((v264 * ((((along_1_z * v393) + (along_2_z * v384)) + (along_3_z * v377)) + (along_4_z * v372))) + axle_z_rate), (axle_heading_rate + (((v269 * v441) + (wheel_axis_z * v450)) - (v6 * v477))), (axle_roll_rate + ((v1 * v453) + (v2 * v456))), (axle_pitch_rate + v477), (((driven * v369) / wheels_inertia) + spin),)
