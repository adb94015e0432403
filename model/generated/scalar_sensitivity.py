"""Scalar kernels: sensitivity. Written by `python -m noseload.model.symbols.derive`; do not edit.

Operations: creep_sensitivity 1163, steady_sensitivity 1216.
"""

from math import cos, sin, sqrt, tanh



def creep_sensitivity(unknowns, grade, parameters):
    """Derivatives of residual (13) and outputs (6) by every parameter."""
    (chassis_z, chassis_theta, rear_x, rear_z, rear_theta, front_x, front_z, front_theta,
        tension_rear_lower_link, tension_rear_upper_link, tension_front_lower_link, tension_front_upper_link,
        traction,) = unknowns
    (brake_speed, chassis_inertia, chassis_mass, front_alone, geared, gravity, held_couple, no_load_speed,
        spin_ratio, stall_torque, rear_damping, rear_driven, rear_free_length, rear_grip, rear_longest,
        rear_lower_link_axle_x, rear_lower_link_axle_z, rear_lower_link_chassis_x, rear_lower_link_chassis_z,
        rear_lower_link_length, rear_mass, rear_motor, rear_shock_across, rear_shock_axle_x,
        rear_shock_axle_z, rear_shock_chassis_x, rear_shock_chassis_z, rear_shortest, rear_slip_ratio_scale,
        rear_slip_speed, rear_spring_rate, rear_stop_damping, rear_stop_stiffness, rear_tyre_damping,
        rear_tyre_radius, rear_tyre_stiffness, rear_upper_link_axle_x, rear_upper_link_axle_z,
        rear_upper_link_chassis_x, rear_upper_link_chassis_z, rear_upper_link_length, rear_wheel_centre_x,
        rear_wheel_centre_z, front_damping, front_driven, front_free_length, front_grip, front_longest,
        front_lower_link_axle_x, front_lower_link_axle_z, front_lower_link_chassis_x,
        front_lower_link_chassis_z, front_lower_link_length, front_mass, front_motor, front_shock_across,
        front_shock_axle_x, front_shock_axle_z, front_shock_chassis_x, front_shock_chassis_z, front_shortest,
        front_slip_ratio_scale, front_slip_speed, front_spring_rate, front_stop_damping,
        front_stop_stiffness, front_tyre_damping, front_tyre_radius, front_tyre_stiffness,
        front_upper_link_axle_x, front_upper_link_axle_z, front_upper_link_chassis_x,
        front_upper_link_chassis_z, front_upper_link_length, front_wheel_centre_x,
        front_wheel_centre_z,) = parameters
    v6 = cos(chassis_theta)
    v8 = (v6 * rear_lower_link_chassis_x)
    v9 = sin(chassis_theta)
    v11 = (v9 * rear_lower_link_chassis_z)
    v13 = cos(rear_theta)
    v14 = sin(rear_theta)
    v19 = ((v13 * rear_lower_link_axle_x) + (v14 * rear_lower_link_axle_z))
    v23 = (((v19 + rear_x) - v8) - v11)
    v26 = (1.0 / rear_lower_link_length)
    v28 = (v26 * tension_rear_lower_link)
    v30 = (v6 * rear_upper_link_chassis_x)
    v32 = (v9 * rear_upper_link_chassis_z)
    v37 = ((v13 * rear_upper_link_axle_x) + (v14 * rear_upper_link_axle_z))
    v40 = (((rear_x + v37) - v30) - v32)
    v42 = (1.0 / rear_upper_link_length)
    v44 = (v42 * tension_rear_upper_link)
    v46 = (v6 * rear_shock_chassis_x)
    v48 = (v9 * rear_shock_chassis_z)
    v53 = ((v13 * rear_shock_axle_x) + (v14 * rear_shock_axle_z))
    v56 = (((rear_x + v53) - v46) - v48)
    v58 = (v14 * rear_shock_axle_x)
    v59 = (v13 * rear_shock_axle_z)
    v64 = (chassis_z - rear_z)
    v66 = ((v9 * rear_shock_chassis_x) - (v6 * rear_shock_chassis_z))
    v68 = ((v66 - (v58 - v59)) - v64)
    v75 = sqrt((((rear_shock_across * rear_shock_across) + (v56 * v56)) + (v68 * v68)))
    v79 = (v75 - rear_longest)
    v80 = (v79 if v79 > 0.0 else 0.0)
    v81 = (rear_stop_stiffness * v80)
    v85 = (rear_free_length - v75)
    v88 = (rear_shortest - v75)
    v89 = (v88 if v88 > 0.0 else 0.0)
    v90 = (rear_stop_stiffness * v89)
    v93 = (((rear_spring_rate * v85) + (v90 if v90 > 0.0 else 0.0)) - (v81 if v81 > 0.0 else 0.0))
    v94 = (v93 / v75)
    v95 = (v56 * v94)
    v101 = (v6 * front_lower_link_chassis_x)
    v103 = (v9 * front_lower_link_chassis_z)
    v105 = cos(front_theta)
    v106 = sin(front_theta)
    v111 = ((v105 * front_lower_link_axle_x) + (v106 * front_lower_link_axle_z))
    v115 = (((v111 + front_x) - v101) - v103)
    v117 = (1.0 / front_lower_link_length)
    v119 = (v117 * tension_front_lower_link)
    v121 = (v6 * front_upper_link_chassis_x)
    v123 = (v9 * front_upper_link_chassis_z)
    v128 = ((v105 * front_upper_link_axle_x) + (v106 * front_upper_link_axle_z))
    v131 = (((front_x + v128) - v121) - v123)
    v133 = (1.0 / front_upper_link_length)
    v135 = (v133 * tension_front_upper_link)
    v137 = (v6 * front_shock_chassis_x)
    v139 = (v9 * front_shock_chassis_z)
    v144 = ((v105 * front_shock_axle_x) + (v106 * front_shock_axle_z))
    v147 = (((front_x + v144) - v137) - v139)
    v149 = (v106 * front_shock_axle_x)
    v150 = (v105 * front_shock_axle_z)
    v154 = (chassis_z - front_z)
    v156 = ((v9 * front_shock_chassis_x) - (v6 * front_shock_chassis_z))
    v158 = ((v156 - (v149 - v150)) - v154)
    v165 = sqrt((((front_shock_across * front_shock_across) + (v147 * v147)) + (v158 * v158)))
    v169 = (v165 - front_longest)
    v170 = (v169 if v169 > 0.0 else 0.0)
    v171 = (front_stop_stiffness * v170)
    v175 = (front_free_length - v165)
    v178 = (front_shortest - v165)
    v179 = (v178 if v178 > 0.0 else 0.0)
    v180 = (front_stop_stiffness * v179)
    v183 = (((front_spring_rate * v175) + (v180 if v180 > 0.0 else 0.0)) - (v171 if v171 > 0.0 else 0.0))
    v184 = (v183 / v165)
    v185 = (v147 * v184)
    v191 = (v6 * rear_lower_link_chassis_z)
    v194 = ((v14 * rear_lower_link_axle_x) - (v13 * rear_lower_link_axle_z))
    v195 = (rear_lower_link_chassis_x * v9)
    v198 = (((v195 - v64) - v191) - v194)
    v199 = (v6 * rear_upper_link_chassis_z)
    v202 = ((v14 * rear_upper_link_axle_x) - (v13 * rear_upper_link_axle_z))
    v203 = (v9 * rear_upper_link_chassis_x)
    v206 = (((v203 - v64) - v199) - v202)
    v207 = (v68 * v94)
    v212 = (v6 * front_lower_link_chassis_z)
    v215 = ((v106 * front_lower_link_axle_x) - (v105 * front_lower_link_axle_z))
    v216 = (v9 * front_lower_link_chassis_x)
    v219 = (((v216 - v154) - v212) - v215)
    v220 = (v6 * front_upper_link_chassis_z)
    v223 = ((v106 * front_upper_link_axle_x) - (v105 * front_upper_link_axle_z))
    v224 = (v9 * front_upper_link_chassis_x)
    v227 = (((v224 - v154) - v220) - v223)
    v228 = (v158 * v184)
    v233 = (v117 * v219)
    v234 = (v115 * v117)
    v235 = (v133 * v227)
    v236 = (v131 * v133)
    v237 = (v26 * v198)
    v238 = (v23 * v26)
    v239 = (v42 * v206)
    v240 = (v40 * v42)
    v242 = (v106 * front_wheel_centre_x)
    v244 = (v105 * front_wheel_centre_z)
    v245 = (v242 - v244)
    v248 = ((v245 - front_z) + front_tyre_radius)
    v250 = (v248 * front_tyre_stiffness)
    v252 = (v250 * front_grip)
    v254 = (v14 * rear_wheel_centre_x)
    v256 = (v13 * rear_wheel_centre_z)
    v257 = (v254 - v256)
    v260 = ((v257 - rear_z) + rear_tyre_radius)
    v262 = (v260 * rear_tyre_stiffness)
    v267 = (v252 + (v262 * rear_grip))
    v268 = (v252 * geared)
    v270 = (front_alone + (v268 / v267))
    v275 = ((1.0 - v270) * traction)
    v278 = (v270 * traction)
    v315 = (v46 + v48)
    v317 = (v137 + v139)
    v344 = ((-(v13 * rear_wheel_centre_x)) - (v14 * rear_wheel_centre_z))
    v376 = ((-(v105 * front_wheel_centre_x)) - (v106 * front_wheel_centre_z))
    v391 = (rear_lower_link_length * rear_lower_link_length)
    v398 = (rear_upper_link_length * rear_upper_link_length)
    v405 = (front_lower_link_length * front_lower_link_length)
    v412 = (front_upper_link_length * front_upper_link_length)
    v419 = (-v6)
    v420 = (-v9)
    v422 = (-(1.0 / v391))
    v423 = (tension_rear_lower_link * v422)
    v425 = (-(1.0 / v398))
    v426 = (tension_rear_upper_link * v425)
    v427 = (-v13)
    v428 = (-v14)
    v429 = (rear_shock_across / v75)
    v430 = (v56 / v75)
    v431 = (v68 / v75)
    v434 = ((v419 * v430) + (v9 * v431))
    v437 = ((v419 * v431) + (v420 * v430))
    v440 = ((v428 * v431) + (v13 * v430))
    v443 = ((v13 * v431) + (v14 * v430))
    v449 = (rear_spring_rate / v75)
    v450 = (1.0 if v81 > 0.0 else 0.0)
    v453 = ((rear_stop_stiffness * v450) * (1.0 if v79 > 0.0 else 0.0))
    v454 = (v453 / v75)
    v455 = (1.0 if v90 > 0.0 else 0.0)
    v458 = ((rear_stop_stiffness * v455) * (1.0 if v88 > 0.0 else 0.0))
    v459 = (v458 / v75)
    v460 = (v85 / v75)
    v464 = (((v89 * v455) - (v80 * v450)) / v75)
    v467 = (-(v93 / (v75 * v75)))
    v470 = (((rear_spring_rate + v453) + v458) / v75)
    v473 = ((v429 * v467) + ((-v429) * v470))
    v476 = ((v434 * v467) + ((-v434) * v470))
    v479 = ((v437 * v467) + ((-v437) * v470))
    v482 = ((v440 * v467) + ((-v440) * v470))
    v485 = ((v443 * v467) + ((-v443) * v470))
    v486 = (v94 * v419)
    v488 = (v486 + (v56 * v476))
    v491 = ((v94 * v420) + (v56 * v479))
    v493 = (v13 * v94)
    v494 = ((v56 * v482) + v493)
    v497 = ((v56 * v485) + (v14 * v94))
    v498 = (v56 * v449)
    v499 = (v56 * v454)
    v500 = (v56 * v459)
    v501 = (v56 * v460)
    v502 = (v56 * v464)
    v503 = (v56 * v473)
    v504 = (v23 * v423)
    v505 = (v44 * v419)
    v506 = (v44 * v420)
    v507 = (v13 * v44)
    v508 = (v14 * v44)
    v509 = (v40 * v426)
    v520 = (v28 * v419)
    v521 = (v28 * v420)
    v522 = (v13 * v28)
    v523 = (v14 * v28)
    v525 = (-(1.0 / v405))
    v526 = (tension_front_lower_link * v525)
    v528 = (-(1.0 / v412))
    v529 = (tension_front_upper_link * v528)
    v530 = (-v105)
    v531 = (-v106)
    v532 = (front_shock_across / v165)
    v533 = (v147 / v165)
    v534 = (v158 / v165)
    v537 = ((v419 * v533) + (v9 * v534))
    v540 = ((v419 * v534) + (v420 * v533))
    v543 = ((v531 * v534) + (v105 * v533))
    v546 = ((v105 * v534) + (v106 * v533))
    v552 = (front_spring_rate / v165)
    v553 = (1.0 if v171 > 0.0 else 0.0)
    v556 = ((front_stop_stiffness * v553) * (1.0 if v169 > 0.0 else 0.0))
    v557 = (v556 / v165)
    v558 = (1.0 if v180 > 0.0 else 0.0)
    v561 = ((front_stop_stiffness * v558) * (1.0 if v178 > 0.0 else 0.0))
    v562 = (v561 / v165)
    v563 = (v175 / v165)
    v567 = (((v179 * v558) - (v170 * v553)) / v165)
    v570 = (-(v183 / (v165 * v165)))
    v573 = (((front_spring_rate + v556) + v561) / v165)
    v576 = ((v532 * v570) + ((-v532) * v573))
    v579 = ((v537 * v570) + ((-v537) * v573))
    v582 = ((v540 * v570) + ((-v540) * v573))
    v585 = ((v543 * v570) + ((-v543) * v573))
    v588 = ((v546 * v570) + ((-v546) * v573))
    v589 = (v184 * v419)
    v591 = (v589 + (v147 * v579))
    v594 = ((v184 * v420) + (v147 * v582))
    v596 = (v105 * v184)
    v597 = ((v147 * v585) + v596)
    v600 = ((v147 * v588) + (v106 * v184))
    v601 = (v147 * v552)
    v602 = (v147 * v557)
    v603 = (v147 * v562)
    v604 = (v147 * v563)
    v605 = (v147 * v567)
    v606 = (v147 * v576)
    v607 = (v119 * v419)
    v608 = (v119 * v420)
    v609 = (v105 * v119)
    v610 = (v106 * v119)
    v611 = (v115 * v526)
    v612 = (v135 * v419)
    v613 = (v135 * v420)
    v614 = (v105 * v135)
    v615 = (v106 * v135)
    v616 = (v131 * v529)
    v629 = ((v68 * v476) + (v9 * v94))
    v631 = (v486 + (v68 * v479))
    v634 = ((v94 * v428) + (v68 * v482))
    v636 = (v493 + (v68 * v485))
    v637 = (v68 * v449)
    v638 = (v68 * v454)
    v639 = (v68 * v459)
    v640 = (v68 * v460)
    v641 = (v68 * v464)
    v642 = (v68 * v473)
    v643 = (v198 * v423)
    v644 = (v206 * v426)
    v645 = (v9 * v28)
    v646 = (v28 * v428)
    v647 = (v9 * v44)
    v648 = (v44 * v428)
    v661 = ((v158 * v579) + (v9 * v184))
    v663 = (v589 + (v158 * v582))
    v666 = ((v184 * v531) + (v158 * v585))
    v668 = (v596 + (v158 * v588))
    v669 = (v158 * v552)
    v670 = (v158 * v557)
    v671 = (v158 * v562)
    v672 = (v158 * v563)
    v673 = (v158 * v567)
    v674 = (v158 * v576)
    v675 = (v219 * v526)
    v676 = (v227 * v529)
    v677 = (v9 * v119)
    v678 = (v119 * v531)
    v679 = (v9 * v135)
    v680 = (v135 * v531)
    v691 = (v219 * v525)
    v692 = (v9 * v117)
    v693 = (v117 * v419)
    v694 = (v117 * v531)
    v695 = (v105 * v117)
    v696 = (v117 * v420)
    v697 = (v106 * v117)
    v698 = (v115 * v525)
    v699 = (v227 * v528)
    v700 = (v9 * v133)
    v701 = (v133 * v419)
    v702 = (v133 * v531)
    v703 = (v105 * v133)
    v704 = (v133 * v420)
    v705 = (v106 * v133)
    v706 = (v131 * v528)
    v707 = (v198 * v422)
    v708 = (v9 * v26)
    v709 = (v26 * v419)
    v710 = (v26 * v428)
    v711 = (v13 * v26)
    v712 = (v23 * v422)
    v713 = (v26 * v420)
    v714 = (v14 * v26)
    v715 = (v206 * v425)
    v716 = (v9 * v42)
    v717 = (v42 * v419)
    v718 = (v42 * v428)
    v719 = (v13 * v42)
    v720 = (v42 * v420)
    v721 = (v14 * v42)
    v722 = (v40 * v425)
    v723 = (v106 * front_tyre_stiffness)
    v724 = (front_tyre_stiffness * v530)
    v729 = (v14 * rear_tyre_stiffness)
    v730 = (rear_tyre_stiffness * v427)
    v731 = (v252 / v267)
    v732 = (v267 * v267)
    v735 = (((v252 * v262) * geared) / v732)
    v739 = ((geared / v267) - (v268 / v732))
    v742 = (-((v268 * rear_grip) / v732))
    v743 = (v250 * v739)
    v744 = ((v248 * front_grip) * v739)
    v745 = ((front_tyre_stiffness * front_grip) * v739)
    v746 = ((front_grip * v723) * v739)
    v747 = ((front_grip * v724) * v739)
    v748 = (v260 * v742)
    v749 = (rear_tyre_stiffness * v742)
    v750 = (v729 * v742)
    v751 = (v730 * v742)
    v762 = (-traction)
    v763 = (traction * (-v731))
    v764 = (traction * v735)
    v765 = (traction * (-v743))
    v766 = (traction * (-v744))
    v767 = (traction * (-v745))
    v768 = (traction * (-v746))
    v769 = (traction * (-v747))
    v770 = (traction * (-v748))
    v771 = (traction * (-v749))
    v772 = (traction * (-v750))
    v773 = (traction * (-v751))
    v774 = (traction * v731)
    v775 = (traction * (-v735))
    v776 = (traction * v743)
    v777 = (traction * v744)
    v778 = (traction * v745)
    v779 = (traction * v746)
    v780 = (traction * v747)
    v781 = (traction * v748)
    v782 = (traction * v749)
    v783 = (traction * v750)
    v784 = (traction * v751)
    v785 = (-sin(grade))
    v786 = (gravity * v785)
    v788 = (-cos(grade))
    v789 = (gravity * v788)
    v805 = (tension_rear_upper_link * v239)
    v806 = (-v805)
    v807 = (-v95)
    v808 = (tension_rear_lower_link * v237)
    v809 = (-v808)
    v810 = (tension_front_lower_link * v233)
    v811 = (-v810)
    v812 = (tension_front_upper_link * v235)
    v813 = (-v812)
    v814 = (-v185)
    v815 = (tension_rear_lower_link * v238)
    v816 = (tension_rear_upper_link * v240)
    v817 = (tension_front_lower_link * v234)
    v818 = (tension_front_upper_link * v236)
    v821 = (tension_front_lower_link * ((-v101) - v103))
    v823 = (tension_front_lower_link * (v212 - v216))
    v826 = (tension_front_upper_link * ((-v121) - v123))
    v828 = (tension_front_upper_link * (v220 - v224))
    v831 = (tension_rear_lower_link * ((-v8) - v11))
    v833 = (tension_rear_lower_link * (v191 - v195))
    v836 = (tension_rear_upper_link * ((-v30) - v32))
    v838 = (tension_rear_upper_link * (v199 - v203))
    v1002 = (-v505)
    v1004 = (-v507)
    v1007 = (-v520)
    v1009 = (-v522)
    v1023 = (-v207)
    v1024 = (v59 - v58)
    v1025 = (-v53)
    v1026 = (v19 * tension_rear_lower_link)
    v1027 = (tension_rear_lower_link * v194)
    v1028 = (v37 * tension_rear_upper_link)
    v1029 = (tension_rear_upper_link * v202)
    v1030 = (-v275)
    v1033 = (((v254 - rear_z) - v256) - v257)
    v1149 = (-v607)
    v1151 = (-v609)
    v1154 = (-v612)
    v1156 = (-v614)
    v1172 = (((v242 - front_z) - v244) - v245)
    v1173 = (-v228)
    v1174 = (v150 - v149)
    v1175 = (-v144)
    v1176 = (v111 * tension_front_lower_link)
    v1177 = (tension_front_lower_link * v215)
    v1178 = (v128 * tension_front_upper_link)
    v1179 = (tension_front_upper_link * v223)
    v1180 = (-v278)
    v1301 = (-v237)
    v1302 = (-v238)
    v1318 = (-v240)
    v1324 = (-v239)
    v1340 = (-v234)
    v1346 = (-v233)
    v1362 = (-v236)
    v1368 = (-v235)
    return (0.0, 0.0, v786, 0.0, 0.0, (chassis_mass * v785), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (-v498), 0.0,
        (-v499), v522, v523, v520, v521, v504, 0.0, 0.0, (-v503), (-v494), (-v497), (-v488), (-v491),
        (-v500), 0.0, 0.0, (-v501), 0.0, (-v502), 0.0, 0.0, 0.0, v507, v508, v505, v506, v509, 0.0, 0.0, 0.0,
        0.0, (-v601), 0.0, (-v602), v609, v610, v607, v608, v611, 0.0, 0.0, (-v606), (-v597), (-v600),
        (-v591), (-v594), (-v603), 0.0, 0.0, (-v604), 0.0, (-v605), 0.0, 0.0, 0.0, v614, v615, v612, v613,
        v616, 0.0, 0.0, 0.0, 0.0, v789, 0.0, 0.0, (chassis_mass * v788), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        (-v637), 0.0, (-v638), v646, v522, v645, v520, v643, 0.0, 0.0, (-v642), (-v634), (-v636), (-v629),
        (-v631), (-v639), 0.0, 0.0, (-v640), 0.0, (-v641), 0.0, 0.0, 0.0, v648, v507, v647, v505, v644, 0.0,
        0.0, 0.0, 0.0, (-v669), 0.0, (-v670), v678, v609, v677, v607, v675, 0.0, 0.0, (-v674), (-v666),
        (-v668), (-v661), (-v663), (-v671), 0.0, 0.0, (-v672), 0.0, (-v673), 0.0, 0.0, 0.0, v680, v614, v679,
        v612, v676, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        ((v66 * v498) + (v315 * v637)), 0.0, ((v66 * v499) + (v315 * v638)), ((v710 * v831) + (v711 * v833)),
        ((v711 * v831) + (v714 * v833)),
        ((((v6 * v809) - ((v9 * tension_rear_lower_link) * v238)) + (v708 * v831)) + (v709 * v833)),
        ((((v6 * v815) + (v709 * v831)) + (v713 * v833)) + (v9 * v809)), ((v707 * v831) + (v712 * v833)),
        0.0, 0.0, ((v66 * v503) + (v315 * v642)), ((v66 * v494) + (v315 * v634)),
        ((v66 * v497) + (v315 * v636)), ((((v9 * v95) + (v66 * v488)) + (v6 * v207)) + (v315 * v629)),
        ((((v66 * v491) + (v6 * v807)) + (v315 * v631)) + (v9 * v207)), ((v66 * v500) + (v315 * v639)), 0.0,
        0.0, ((v66 * v501) + (v315 * v640)), 0.0, ((v66 * v502) + (v315 * v641)), 0.0, 0.0, 0.0,
        ((v718 * v836) + (v719 * v838)), ((v719 * v836) + (v721 * v838)),
        ((((v6 * v806) - ((v9 * tension_rear_upper_link) * v240)) + (v716 * v836)) + (v717 * v838)),
        ((((v6 * v816) + (v717 * v836)) + (v720 * v838)) + (v9 * v806)), ((v715 * v836) + (v722 * v838)),
        0.0, 0.0, 0.0, 0.0, ((v156 * v601) + (v317 * v669)), 0.0, ((v156 * v602) + (v317 * v670)),
        ((v694 * v821) + (v695 * v823)), ((v695 * v821) + (v697 * v823)),
        ((((v6 * v811) - ((v9 * tension_front_lower_link) * v234)) + (v692 * v821)) + (v693 * v823)),
        ((((v6 * v817) + (v693 * v821)) + (v696 * v823)) + (v9 * v811)), ((v691 * v821) + (v698 * v823)),
        0.0, 0.0, ((v156 * v606) + (v317 * v674)), ((v156 * v597) + (v317 * v666)),
        ((v156 * v600) + (v317 * v668)), ((((v9 * v185) + (v6 * v228)) + (v156 * v591)) + (v317 * v661)),
        ((((v6 * v814) + (v156 * v594)) + (v317 * v663)) + (v9 * v228)), ((v156 * v603) + (v317 * v671)),
        0.0, 0.0, ((v156 * v604) + (v317 * v672)), 0.0, ((v156 * v605) + (v317 * v673)), 0.0, 0.0, 0.0,
        ((v702 * v826) + (v703 * v828)), ((v703 * v826) + (v705 * v828)),
        ((((v6 * v813) - ((v9 * tension_front_upper_link) * v236)) + (v700 * v826)) + (v701 * v828)),
        ((((v6 * v818) + (v701 * v826)) + (v704 * v828)) + (v9 * v813)), ((v699 * v826) + (v706 * v828)),
        0.0, 0.0, 0.0, 0.0, 0.0, v762, v763, (rear_mass * v785), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v498, v764,
        v499, v1009, (-v523), v1007, (-v521), (-v504), v786, 0.0, v503, v494, v497, v488, v491, v500, 0.0,
        0.0, v501, 0.0, v502, 0.0, v771, v770, v1004, (-v508), v1002, (-v506), (-v509), v772, v773, 0.0, 0.0,
        0.0, v765, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, v767, v766, 0.0, 0.0, 0.0, 0.0, 0.0, v768, v769, 0.0, 0.0, 0.0, 0.0, 0.0,
        (rear_mass * v788), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v637, 0.0, v638, (-v646), v1009, (-v645), v1007,
        (-v643), v789, 0.0, v642, v634, v636, v629, v631, v639, 0.0, 0.0, v640, 0.0, v641, 0.0,
        rear_tyre_stiffness, v260, (-v648), v1004, (-v647), v1002, (-v644), v729, v730, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (v762 * v1033), (v763 * v1033), 0.0, 1.0,
        0.0, 0.0, 0.0, 0.0, 0.0, ((v498 * v1024) + (v637 * v1025)), (v764 * v1033),
        ((v499 * v1024) + (v638 * v1025)),
        ((((v710 * v1026) + (v711 * v1027)) + (v14 * v815)) + (v13 * v808)),
        ((((v427 * v815) + (v711 * v1026)) + (v714 * v1027)) + (v14 * v808)),
        ((v708 * v1026) + (v709 * v1027)), ((v709 * v1026) + (v713 * v1027)),
        ((v707 * v1026) + (v712 * v1027)), 0.0, 0.0, ((v503 * v1024) + (v642 * v1025)),
        ((((v494 * v1024) + (v634 * v1025)) + (v14 * v807)) + (v13 * v1023)),
        ((((v427 * v807) + (v497 * v1024)) + (v636 * v1025)) + (v14 * v1023)),
        ((v488 * v1024) + (v629 * v1025)), ((v491 * v1024) + (v631 * v1025)),
        ((v500 * v1024) + (v639 * v1025)), 0.0, 0.0, ((v501 * v1024) + (v640 * v1025)), 0.0,
        ((v502 * v1024) + (v641 * v1025)), 0.0, ((rear_tyre_stiffness * v344) + (v771 * v1033)),
        ((v770 * v1033) + (v260 * v344)),
        ((((v718 * v1028) + (v719 * v1029)) + (v14 * v816)) + (v13 * v805)),
        ((((v427 * v816) + (v719 * v1028)) + (v721 * v1029)) + (v14 * v805)),
        ((v716 * v1028) + (v717 * v1029)), ((v717 * v1028) + (v720 * v1029)),
        ((v715 * v1028) + (v722 * v1029)),
        (((((v344 * v729) - (v13 * v262)) + (v772 * v1033)) + (v14 * v1030)) + (v14 * v275)),
        (((((v427 * v1030) - (v14 * v262)) + (v344 * v730)) + (v773 * v1033)) + (v13 * v1030)), 0.0, 0.0,
        0.0, (v765 * v1033), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, (v767 * v1033), (v766 * v1033), 0.0, 0.0, 0.0, 0.0, 0.0, (v768 * v1033),
        (v769 * v1033), 0.0, 0.0, 0.0, traction, v774, (front_mass * v785), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, v775, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, v782, v781, 0.0, 0.0, 0.0, 0.0, 0.0, v783, v784, 0.0, 0.0, v601, v776, v602, v1151,
        (-v610), v1149, (-v608), (-v611), v786, 0.0, v606, v597, v600, v591, v594, v603, 0.0, 0.0, v604, 0.0,
        v605, 0.0, v778, v777, v1156, (-v615), v1154, (-v613), (-v616), v779, v780, 0.0, 0.0, 0.0, 0.0, 0.0,
        (front_mass * v788), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, v669, 0.0, v670, (-v678), v1151, (-v677), v1149, (-v675), v789, 0.0, v674, v666, v668,
        v661, v663, v671, 0.0, 0.0, v672, 0.0, v673, 0.0, front_tyre_stiffness, v248, (-v680), v1156,
        (-v679), v1154, (-v676), v723, v724, 0.0, 0.0, 0.0, (traction * v1172), (v774 * v1172), 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (v775 * v1172), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (v782 * v1172), (v781 * v1172), 0.0, 0.0, 0.0, 0.0, 0.0,
        (v783 * v1172), (v784 * v1172), 0.0, 0.0, ((v601 * v1174) + (v669 * v1175)), (v776 * v1172),
        ((v602 * v1174) + (v670 * v1175)),
        ((((v694 * v1176) + (v695 * v1177)) + (v105 * v810)) + (v106 * v817)),
        ((((v530 * v817) + (v695 * v1176)) + (v697 * v1177)) + (v106 * v810)),
        ((v692 * v1176) + (v693 * v1177)), ((v693 * v1176) + (v696 * v1177)),
        ((v691 * v1176) + (v698 * v1177)), 0.0, 0.0, ((v606 * v1174) + (v674 * v1175)),
        ((((v597 * v1174) + (v666 * v1175)) + (v105 * v1173)) + (v106 * v814)),
        ((((v530 * v814) + (v600 * v1174)) + (v668 * v1175)) + (v106 * v1173)),
        ((v591 * v1174) + (v661 * v1175)), ((v594 * v1174) + (v663 * v1175)),
        ((v603 * v1174) + (v671 * v1175)), 0.0, 0.0, ((v604 * v1174) + (v672 * v1175)), 0.0,
        ((v605 * v1174) + (v673 * v1175)), 0.0, ((front_tyre_stiffness * v376) + (v778 * v1172)),
        ((v777 * v1172) + (v248 * v376)),
        ((((v702 * v1178) + (v703 * v1179)) + (v105 * v812)) + (v106 * v818)),
        ((((v530 * v818) + (v703 * v1178)) + (v705 * v1179)) + (v106 * v812)),
        ((v700 * v1178) + (v701 * v1179)), ((v701 * v1178) + (v704 * v1179)),
        ((v699 * v1178) + (v706 * v1179)),
        (((((v106 * v278) - (v105 * v250)) + (v376 * v723)) + (v106 * v1180)) + (v779 * v1172)),
        (((((v530 * v1180) - (v106 * v250)) + (v376 * v724)) + (v105 * v1180)) + (v780 * v1172)), 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v428 * v1301) + (v13 * v1302)),
        ((v13 * v1301) + (v14 * v1302)), ((v419 * v1302) + (v9 * v1301)), ((v419 * v1301) + (v420 * v1302)),
        ((rear_lower_link_length * v26) + (v422 * (((0.5 * v391) - (0.5 * (v198 * v198))) - (0.5 * (v23 * v23))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v428 * v1324) + (v13 * v1318)), ((v13 * v1324) + (v14 * v1318)), ((v419 * v1318) + (v9 * v1324)), ((v419 * v1324) + (v420 * v1318)), ((rear_upper_link_length * v42) + (v425 * (((0.5 * v398) - (0.5 * (v40 * v40))) - (0.5 * (v206 * v206))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v531 * v1346) + (v105 * v1340)), ((v105 * v1346) + (v106 * v1340)), ((v419 * v1340) + (v9 * v1346)), ((v419 * v1346) + (v420 * v1340)), ((front_lower_link_length * v117) + (v525 * (((0.5 * v405) - (0.5 * (v115 * v115))) - (0.5 * (v219 * v219))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v531 * v1368) + (v105 * v1362)), ((v105 * v1368) + (v106 * v1362)), ((v419 * v1362) + (v9 * v1368)), ((v419 * v1368) + (v420 * v1362)), ((front_upper_link_length * v133) + (v528 * (((0.5 * v412) - (0.5 * (v131 * v131))) - (0.5 * (v227 * v227))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, rear_tyre_stiffness, v260, 0.0, 0.0, 0.0, 0.0, 0.0, v729, v730, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, front_tyre_stiffness, v248, 0.0, 0.0, 0.0, 0.0, 0.0, v723, v724, 0.0, 0.0, 0.0, v762, v763, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v764, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v771, v770, 0.0, 0.0, 0.0, 0.0, 0.0, v772, v773, 0.0, 0.0, 0.0, v765, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v767, v766, 0.0, 0.0, 0.0, 0.0, 0.0, v768, v769, 0.0, 0.0, 0.0, traction, v774, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v775, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v782, v781, 0.0, 0.0, 0.0, 0.0, 0.0, v783, v784, 0.0, 0.0, 0.0, v776, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v778, v777, 0.0, 0.0, 0.0, 0.0, 0.0, v779, v780, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v429, v440, v443, v434, v437, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v532, v543, v546, v537, v540, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,)


def steady_sensitivity(unknowns, grip_factor, grade, parameters):
    """Derivatives of the steady residual (13) by every parameter."""
    (chassis_z, chassis_theta, rear_x, rear_z, rear_theta, front_x, front_z, front_theta,
        tension_rear_lower_link, tension_rear_upper_link, tension_front_lower_link, tension_front_upper_link,
        spin_speed, travel_speed,) = unknowns
    (brake_speed, chassis_inertia, chassis_mass, front_alone, geared, gravity, held_couple, no_load_speed,
        spin_ratio, stall_torque, rear_damping, rear_driven, rear_free_length, rear_grip, rear_longest,
        rear_lower_link_axle_x, rear_lower_link_axle_z, rear_lower_link_chassis_x, rear_lower_link_chassis_z,
        rear_lower_link_length, rear_mass, rear_motor, rear_shock_across, rear_shock_axle_x,
        rear_shock_axle_z, rear_shock_chassis_x, rear_shock_chassis_z, rear_shortest, rear_slip_ratio_scale,
        rear_slip_speed, rear_spring_rate, rear_stop_damping, rear_stop_stiffness, rear_tyre_damping,
        rear_tyre_radius, rear_tyre_stiffness, rear_upper_link_axle_x, rear_upper_link_axle_z,
        rear_upper_link_chassis_x, rear_upper_link_chassis_z, rear_upper_link_length, rear_wheel_centre_x,
        rear_wheel_centre_z, front_damping, front_driven, front_free_length, front_grip, front_longest,
        front_lower_link_axle_x, front_lower_link_axle_z, front_lower_link_chassis_x,
        front_lower_link_chassis_z, front_lower_link_length, front_mass, front_motor, front_shock_across,
        front_shock_axle_x, front_shock_axle_z, front_shock_chassis_x, front_shock_chassis_z, front_shortest,
        front_slip_ratio_scale, front_slip_speed, front_spring_rate, front_stop_damping,
        front_stop_stiffness, front_tyre_damping, front_tyre_radius, front_tyre_stiffness,
        front_upper_link_axle_x, front_upper_link_axle_z, front_upper_link_chassis_x,
        front_upper_link_chassis_z, front_upper_link_length, front_wheel_centre_x,
        front_wheel_centre_z,) = parameters
    v6 = cos(chassis_theta)
    v8 = (v6 * rear_lower_link_chassis_x)
    v9 = sin(chassis_theta)
    v11 = (v9 * rear_lower_link_chassis_z)
    v13 = cos(rear_theta)
    v14 = sin(rear_theta)
    v19 = ((v13 * rear_lower_link_axle_x) + (v14 * rear_lower_link_axle_z))
    v23 = (((v19 + rear_x) - v8) - v11)
    v26 = (1.0 / rear_lower_link_length)
    v28 = (v26 * tension_rear_lower_link)
    v30 = (v6 * rear_upper_link_chassis_x)
    v32 = (v9 * rear_upper_link_chassis_z)
    v37 = ((v13 * rear_upper_link_axle_x) + (v14 * rear_upper_link_axle_z))
    v40 = (((rear_x + v37) - v30) - v32)
    v42 = (1.0 / rear_upper_link_length)
    v44 = (v42 * tension_rear_upper_link)
    v46 = (v6 * rear_shock_chassis_x)
    v48 = (v9 * rear_shock_chassis_z)
    v53 = ((v13 * rear_shock_axle_x) + (v14 * rear_shock_axle_z))
    v56 = (((rear_x + v53) - v46) - v48)
    v58 = (v14 * rear_shock_axle_x)
    v59 = (v13 * rear_shock_axle_z)
    v64 = (chassis_z - rear_z)
    v66 = ((v9 * rear_shock_chassis_x) - (v6 * rear_shock_chassis_z))
    v68 = ((v66 - (v58 - v59)) - v64)
    v75 = sqrt((((rear_shock_across * rear_shock_across) + (v56 * v56)) + (v68 * v68)))
    v79 = (v75 - rear_longest)
    v80 = (v79 if v79 > 0.0 else 0.0)
    v81 = (rear_stop_stiffness * v80)
    v85 = (rear_free_length - v75)
    v88 = (rear_shortest - v75)
    v89 = (v88 if v88 > 0.0 else 0.0)
    v90 = (rear_stop_stiffness * v89)
    v93 = (((rear_spring_rate * v85) + (v90 if v90 > 0.0 else 0.0)) - (v81 if v81 > 0.0 else 0.0))
    v94 = (v93 / v75)
    v95 = (v56 * v94)
    v101 = (v6 * front_lower_link_chassis_x)
    v103 = (v9 * front_lower_link_chassis_z)
    v105 = cos(front_theta)
    v106 = sin(front_theta)
    v111 = ((v105 * front_lower_link_axle_x) + (v106 * front_lower_link_axle_z))
    v115 = (((v111 + front_x) - v101) - v103)
    v117 = (1.0 / front_lower_link_length)
    v119 = (v117 * tension_front_lower_link)
    v121 = (v6 * front_upper_link_chassis_x)
    v123 = (v9 * front_upper_link_chassis_z)
    v128 = ((v105 * front_upper_link_axle_x) + (v106 * front_upper_link_axle_z))
    v131 = (((front_x + v128) - v121) - v123)
    v133 = (1.0 / front_upper_link_length)
    v135 = (v133 * tension_front_upper_link)
    v137 = (v6 * front_shock_chassis_x)
    v139 = (v9 * front_shock_chassis_z)
    v144 = ((v105 * front_shock_axle_x) + (v106 * front_shock_axle_z))
    v147 = (((front_x + v144) - v137) - v139)
    v149 = (v106 * front_shock_axle_x)
    v150 = (v105 * front_shock_axle_z)
    v154 = (chassis_z - front_z)
    v156 = ((v9 * front_shock_chassis_x) - (v6 * front_shock_chassis_z))
    v158 = ((v156 - (v149 - v150)) - v154)
    v165 = sqrt((((front_shock_across * front_shock_across) + (v147 * v147)) + (v158 * v158)))
    v169 = (v165 - front_longest)
    v170 = (v169 if v169 > 0.0 else 0.0)
    v171 = (front_stop_stiffness * v170)
    v175 = (front_free_length - v165)
    v178 = (front_shortest - v165)
    v179 = (v178 if v178 > 0.0 else 0.0)
    v180 = (front_stop_stiffness * v179)
    v183 = (((front_spring_rate * v175) + (v180 if v180 > 0.0 else 0.0)) - (v171 if v171 > 0.0 else 0.0))
    v184 = (v183 / v165)
    v185 = (v147 * v184)
    v191 = (v6 * rear_lower_link_chassis_z)
    v194 = ((v14 * rear_lower_link_axle_x) - (v13 * rear_lower_link_axle_z))
    v195 = (rear_lower_link_chassis_x * v9)
    v198 = (((v195 - v64) - v191) - v194)
    v199 = (v6 * rear_upper_link_chassis_z)
    v202 = ((v14 * rear_upper_link_axle_x) - (v13 * rear_upper_link_axle_z))
    v203 = (v9 * rear_upper_link_chassis_x)
    v206 = (((v203 - v64) - v199) - v202)
    v207 = (v68 * v94)
    v212 = (v6 * front_lower_link_chassis_z)
    v215 = ((v106 * front_lower_link_axle_x) - (v105 * front_lower_link_axle_z))
    v216 = (v9 * front_lower_link_chassis_x)
    v219 = (((v216 - v154) - v212) - v215)
    v220 = (v6 * front_upper_link_chassis_z)
    v223 = ((v106 * front_upper_link_axle_x) - (v105 * front_upper_link_axle_z))
    v224 = (v9 * front_upper_link_chassis_x)
    v227 = (((v224 - v154) - v220) - v223)
    v228 = (v158 * v184)
    v233 = (v117 * v219)
    v234 = (v115 * v117)
    v235 = (v133 * v227)
    v236 = (v131 * v133)
    v237 = (v26 * v198)
    v238 = (v23 * v26)
    v239 = (v42 * v206)
    v240 = (v40 * v42)
    v244 = (v14 * rear_wheel_centre_x)
    v246 = (v13 * rear_wheel_centre_z)
    v250 = (((v244 - v246) - rear_z) + rear_tyre_radius)
    v252 = abs(travel_speed)
    v255 = ((rear_z + v246) - v244)
    v259 = (rear_slip_speed + (v252 * rear_slip_ratio_scale))
    v262 = ((v255 * spin_speed) - travel_speed)
    v264 = tanh((v262 / v259))
    v266 = (v250 * rear_tyre_stiffness)
    v271 = ((v264 * v266) * grip_factor)
    v272 = (v271 * rear_driven)
    v277 = (v106 * front_wheel_centre_x)
    v279 = (v105 * front_wheel_centre_z)
    v283 = (((v277 - v279) - front_z) + front_tyre_radius)
    v285 = ((front_z + v279) - v277)
    v289 = (front_slip_speed + (v252 * front_slip_ratio_scale))
    v291 = (spin_speed * v285)
    v293 = ((v291 * spin_ratio) - travel_speed)
    v295 = tanh((v293 / v289))
    v297 = (v283 * front_tyre_stiffness)
    v300 = (grip_factor * v295)
    v301 = (v300 * v297)
    v302 = (v301 * front_driven)
    v340 = (v46 + v48)
    v342 = (v137 + v139)
    v352 = (v250 * v264)
    v354 = ((v352 * rear_tyre_stiffness) * grip_factor)
    v374 = ((-(v13 * rear_wheel_centre_x)) - (v14 * rear_wheel_centre_z))
    v388 = (grip_factor * v283)
    v389 = (v388 * v295)
    v390 = (v389 * front_tyre_stiffness)
    v409 = ((-(v105 * front_wheel_centre_x)) - (v106 * front_wheel_centre_z))
    v422 = (rear_lower_link_length * rear_lower_link_length)
    v429 = (rear_upper_link_length * rear_upper_link_length)
    v436 = (front_lower_link_length * front_lower_link_length)
    v443 = (front_upper_link_length * front_upper_link_length)
    v450 = (-v6)
    v451 = (-v9)
    v453 = (-(1.0 / v422))
    v454 = (tension_rear_lower_link * v453)
    v456 = (-(1.0 / v429))
    v457 = (tension_rear_upper_link * v456)
    v458 = (-v13)
    v459 = (-v14)
    v460 = (rear_shock_across / v75)
    v461 = (v56 / v75)
    v462 = (v68 / v75)
    v465 = ((v450 * v461) + (v9 * v462))
    v468 = ((v450 * v462) + (v451 * v461))
    v471 = ((v459 * v462) + (v13 * v461))
    v474 = ((v13 * v462) + (v14 * v461))
    v480 = (rear_spring_rate / v75)
    v481 = (1.0 if v81 > 0.0 else 0.0)
    v484 = ((rear_stop_stiffness * v481) * (1.0 if v79 > 0.0 else 0.0))
    v485 = (v484 / v75)
    v486 = (1.0 if v90 > 0.0 else 0.0)
    v489 = ((rear_stop_stiffness * v486) * (1.0 if v88 > 0.0 else 0.0))
    v490 = (v489 / v75)
    v491 = (v85 / v75)
    v495 = (((v89 * v486) - (v80 * v481)) / v75)
    v498 = (-(v93 / (v75 * v75)))
    v501 = (((rear_spring_rate + v484) + v489) / v75)
    v504 = ((v460 * v498) + ((-v460) * v501))
    v507 = ((v465 * v498) + ((-v465) * v501))
    v510 = ((v468 * v498) + ((-v468) * v501))
    v513 = ((v471 * v498) + ((-v471) * v501))
    v516 = ((v474 * v498) + ((-v474) * v501))
    v517 = (v94 * v450)
    v519 = (v517 + (v56 * v507))
    v522 = ((v94 * v451) + (v56 * v510))
    v524 = (v13 * v94)
    v525 = ((v56 * v513) + v524)
    v528 = ((v56 * v516) + (v14 * v94))
    v529 = (v56 * v480)
    v530 = (v56 * v485)
    v531 = (v56 * v490)
    v532 = (v56 * v491)
    v533 = (v56 * v495)
    v534 = (v56 * v504)
    v535 = (v23 * v454)
    v536 = (v44 * v450)
    v537 = (v44 * v451)
    v538 = (v13 * v44)
    v539 = (v14 * v44)
    v540 = (v40 * v457)
    v551 = (v28 * v450)
    v552 = (v28 * v451)
    v553 = (v13 * v28)
    v554 = (v14 * v28)
    v556 = (-(1.0 / v436))
    v557 = (tension_front_lower_link * v556)
    v559 = (-(1.0 / v443))
    v560 = (tension_front_upper_link * v559)
    v561 = (-v105)
    v562 = (-v106)
    v563 = (front_shock_across / v165)
    v564 = (v147 / v165)
    v565 = (v158 / v165)
    v568 = ((v450 * v564) + (v9 * v565))
    v571 = ((v450 * v565) + (v451 * v564))
    v574 = ((v562 * v565) + (v105 * v564))
    v577 = ((v105 * v565) + (v106 * v564))
    v583 = (front_spring_rate / v165)
    v584 = (1.0 if v171 > 0.0 else 0.0)
    v587 = ((front_stop_stiffness * v584) * (1.0 if v169 > 0.0 else 0.0))
    v588 = (v587 / v165)
    v589 = (1.0 if v180 > 0.0 else 0.0)
    v592 = ((front_stop_stiffness * v589) * (1.0 if v178 > 0.0 else 0.0))
    v593 = (v592 / v165)
    v594 = (v175 / v165)
    v598 = (((v179 * v589) - (v170 * v584)) / v165)
    v601 = (-(v183 / (v165 * v165)))
    v604 = (((front_spring_rate + v587) + v592) / v165)
    v607 = ((v563 * v601) + ((-v563) * v604))
    v610 = ((v568 * v601) + ((-v568) * v604))
    v613 = ((v571 * v601) + ((-v571) * v604))
    v616 = ((v574 * v601) + ((-v574) * v604))
    v619 = ((v577 * v601) + ((-v577) * v604))
    v620 = (v184 * v450)
    v622 = (v620 + (v147 * v610))
    v625 = ((v184 * v451) + (v147 * v613))
    v627 = (v105 * v184)
    v628 = ((v147 * v616) + v627)
    v631 = ((v147 * v619) + (v106 * v184))
    v632 = (v147 * v583)
    v633 = (v147 * v588)
    v634 = (v147 * v593)
    v635 = (v147 * v594)
    v636 = (v147 * v598)
    v637 = (v147 * v607)
    v638 = (v119 * v450)
    v639 = (v119 * v451)
    v640 = (v105 * v119)
    v641 = (v106 * v119)
    v642 = (v115 * v557)
    v643 = (v135 * v450)
    v644 = (v135 * v451)
    v645 = (v105 * v135)
    v646 = (v106 * v135)
    v647 = (v131 * v560)
    v660 = ((v68 * v507) + (v9 * v94))
    v662 = (v517 + (v68 * v510))
    v665 = ((v94 * v459) + (v68 * v513))
    v667 = (v524 + (v68 * v516))
    v668 = (v68 * v480)
    v669 = (v68 * v485)
    v670 = (v68 * v490)
    v671 = (v68 * v491)
    v672 = (v68 * v495)
    v673 = (v68 * v504)
    v674 = (v198 * v454)
    v675 = (v206 * v457)
    v676 = (v9 * v28)
    v677 = (v28 * v459)
    v678 = (v9 * v44)
    v679 = (v44 * v459)
    v692 = ((v158 * v610) + (v9 * v184))
    v694 = (v620 + (v158 * v613))
    v697 = ((v184 * v562) + (v158 * v616))
    v699 = (v627 + (v158 * v619))
    v700 = (v158 * v583)
    v701 = (v158 * v588)
    v702 = (v158 * v593)
    v703 = (v158 * v594)
    v704 = (v158 * v598)
    v705 = (v158 * v607)
    v706 = (v219 * v557)
    v707 = (v227 * v560)
    v708 = (v9 * v119)
    v709 = (v119 * v562)
    v710 = (v9 * v135)
    v711 = (v135 * v562)
    v722 = (v219 * v556)
    v723 = (v9 * v117)
    v724 = (v117 * v450)
    v725 = (v117 * v562)
    v726 = (v105 * v117)
    v727 = (v117 * v451)
    v728 = (v106 * v117)
    v729 = (v115 * v556)
    v730 = (v227 * v559)
    v731 = (v9 * v133)
    v732 = (v133 * v450)
    v733 = (v133 * v562)
    v734 = (v105 * v133)
    v735 = (v133 * v451)
    v736 = (v106 * v133)
    v737 = (v131 * v559)
    v738 = (v198 * v453)
    v739 = (v9 * v26)
    v740 = (v26 * v450)
    v741 = (v26 * v459)
    v742 = (v13 * v26)
    v743 = (v23 * v453)
    v744 = (v26 * v451)
    v745 = (v14 * v26)
    v746 = (v206 * v456)
    v747 = (v9 * v42)
    v748 = (v42 * v450)
    v749 = (v42 * v459)
    v750 = (v13 * v42)
    v751 = (v42 * v451)
    v752 = (v14 * v42)
    v753 = (v40 * v456)
    v754 = (v259 * v259)
    v756 = (1.0 - (v264 * v264))
    v765 = ((spin_speed * v756) / v259)
    v768 = (v14 * rear_tyre_stiffness)
    v769 = (rear_tyre_stiffness * v458)
    v773 = (((v266 * grip_factor) * rear_driven) * rear_grip)
    v776 = (((v264 * grip_factor) * rear_driven) * rear_grip)
    v777 = ((-(((v252 * v262) * v756) / v754)) * v773)
    v778 = ((-((v262 * v756) / v754)) * v773)
    v779 = ((v459 * v765) * v773)
    v782 = ((v13 * v765) * v773)
    v787 = (v289 * v289)
    v789 = (1.0 - (v295 * v295))
    v793 = (-(((v252 * v293) * v789) / v787))
    v796 = (-((v293 * v789) / v787))
    v798 = ((v291 * v789) / v289)
    v801 = (((spin_speed * spin_ratio) * v789) / v289)
    v802 = (v562 * v801)
    v803 = (v105 * v801)
    v804 = (v106 * front_tyre_stiffness)
    v805 = (front_tyre_stiffness * v561)
    v809 = (((grip_factor * v297) * front_driven) * front_grip)
    v811 = ((v300 * front_driven) * front_grip)
    v823 = (-sin(grade))
    v824 = (gravity * v823)
    v826 = (-cos(grade))
    v827 = (gravity * v826)
    v843 = (tension_rear_upper_link * v239)
    v844 = (-v843)
    v845 = (-v95)
    v846 = (tension_rear_lower_link * v237)
    v847 = (-v846)
    v848 = (tension_front_lower_link * v233)
    v849 = (-v848)
    v850 = (tension_front_upper_link * v235)
    v851 = (-v850)
    v852 = (-v185)
    v853 = (tension_rear_lower_link * v238)
    v854 = (tension_rear_upper_link * v240)
    v855 = (tension_front_lower_link * v234)
    v856 = (tension_front_upper_link * v236)
    v859 = (tension_front_lower_link * ((-v101) - v103))
    v861 = (tension_front_lower_link * (v212 - v216))
    v864 = (tension_front_upper_link * ((-v121) - v123))
    v866 = (tension_front_upper_link * (v220 - v224))
    v869 = (tension_rear_lower_link * ((-v8) - v11))
    v871 = (tension_rear_lower_link * (v191 - v195))
    v874 = (tension_rear_upper_link * ((-v30) - v32))
    v876 = (tension_rear_upper_link * (v199 - v203))
    v1046 = ((((v264 * rear_tyre_stiffness) * grip_factor) * rear_driven) * rear_grip)
    v1048 = (-v536)
    v1050 = (-v538)
    v1053 = (-v551)
    v1055 = (-v553)
    v1073 = (-v207)
    v1074 = (v59 - v58)
    v1075 = (-v53)
    v1076 = (v19 * tension_rear_lower_link)
    v1077 = (tension_rear_lower_link * v194)
    v1078 = (v37 * tension_rear_upper_link)
    v1079 = (tension_rear_upper_link * v202)
    v1080 = (-(v272 * rear_grip))
    v1082 = ((v246 - v244) - v255)
    v1198 = (((v300 * front_tyre_stiffness) * front_driven) * front_grip)
    v1201 = (((v388 * front_tyre_stiffness) * front_driven) * front_grip)
    v1211 = (-v638)
    v1213 = (-v640)
    v1216 = (-v643)
    v1218 = (-v645)
    v1233 = (-(v302 * front_grip))
    v1235 = ((v279 - v277) - v285)
    v1236 = (-v228)
    v1237 = (v150 - v149)
    v1238 = (-v144)
    v1239 = (v111 * tension_front_lower_link)
    v1240 = (tension_front_lower_link * v215)
    v1241 = (v128 * tension_front_upper_link)
    v1242 = (tension_front_upper_link * v223)
    v1360 = (-v237)
    v1361 = (-v238)
    v1377 = (-v240)
    v1383 = (-v239)
    v1399 = (-v234)
    v1405 = (-v233)
    v1421 = (-v236)
    v1427 = (-v235)
    return (0.0, 0.0, v824, 0.0, 0.0, (chassis_mass * v823), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (-v529), 0.0,
        (-v530), v553, v554, v551, v552, v535, 0.0, 0.0, (-v534), (-v525), (-v528), (-v519), (-v522),
        (-v531), 0.0, 0.0, (-v532), 0.0, (-v533), 0.0, 0.0, 0.0, v538, v539, v536, v537, v540, 0.0, 0.0, 0.0,
        0.0, (-v632), 0.0, (-v633), v640, v641, v638, v639, v642, 0.0, 0.0, (-v637), (-v628), (-v631),
        (-v622), (-v625), (-v634), 0.0, 0.0, (-v635), 0.0, (-v636), 0.0, 0.0, 0.0, v645, v646, v643, v644,
        v647, 0.0, 0.0, 0.0, 0.0, v827, 0.0, 0.0, (chassis_mass * v826), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        (-v668), 0.0, (-v669), v677, v553, v676, v551, v674, 0.0, 0.0, (-v673), (-v665), (-v667), (-v660),
        (-v662), (-v670), 0.0, 0.0, (-v671), 0.0, (-v672), 0.0, 0.0, 0.0, v679, v538, v678, v536, v675, 0.0,
        0.0, 0.0, 0.0, (-v700), 0.0, (-v701), v709, v640, v708, v638, v706, 0.0, 0.0, (-v705), (-v697),
        (-v699), (-v692), (-v694), (-v702), 0.0, 0.0, (-v703), 0.0, (-v704), 0.0, 0.0, 0.0, v711, v645, v710,
        v643, v707, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        ((v66 * v529) + (v340 * v668)), 0.0, ((v66 * v530) + (v340 * v669)), ((v741 * v869) + (v742 * v871)),
        ((v742 * v869) + (v745 * v871)),
        ((((v6 * v847) - ((v9 * tension_rear_lower_link) * v238)) + (v739 * v869)) + (v740 * v871)),
        ((((v6 * v853) + (v740 * v869)) + (v744 * v871)) + (v9 * v847)), ((v738 * v869) + (v743 * v871)),
        0.0, 0.0, ((v66 * v534) + (v340 * v673)), ((v66 * v525) + (v340 * v665)),
        ((v66 * v528) + (v340 * v667)), ((((v9 * v95) + (v66 * v519)) + (v6 * v207)) + (v340 * v660)),
        ((((v66 * v522) + (v6 * v845)) + (v340 * v662)) + (v9 * v207)), ((v66 * v531) + (v340 * v670)), 0.0,
        0.0, ((v66 * v532) + (v340 * v671)), 0.0, ((v66 * v533) + (v340 * v672)), 0.0, 0.0, 0.0,
        ((v749 * v874) + (v750 * v876)), ((v750 * v874) + (v752 * v876)),
        ((((v6 * v844) - ((v9 * tension_rear_upper_link) * v240)) + (v747 * v874)) + (v748 * v876)),
        ((((v6 * v854) + (v748 * v874)) + (v751 * v876)) + (v9 * v844)), ((v746 * v874) + (v753 * v876)),
        0.0, 0.0, 0.0, 0.0, ((v156 * v632) + (v342 * v700)), 0.0, ((v156 * v633) + (v342 * v701)),
        ((v725 * v859) + (v726 * v861)), ((v726 * v859) + (v728 * v861)),
        ((((v6 * v849) - ((v9 * tension_front_lower_link) * v234)) + (v723 * v859)) + (v724 * v861)),
        ((((v6 * v855) + (v724 * v859)) + (v727 * v861)) + (v9 * v849)), ((v722 * v859) + (v729 * v861)),
        0.0, 0.0, ((v156 * v637) + (v342 * v705)), ((v156 * v628) + (v342 * v697)),
        ((v156 * v631) + (v342 * v699)), ((((v9 * v185) + (v6 * v228)) + (v156 * v622)) + (v342 * v692)),
        ((((v6 * v852) + (v156 * v625)) + (v342 * v694)) + (v9 * v228)), ((v156 * v634) + (v342 * v702)),
        0.0, 0.0, ((v156 * v635) + (v342 * v703)), 0.0, ((v156 * v636) + (v342 * v704)), 0.0, 0.0, 0.0,
        ((v733 * v864) + (v734 * v866)), ((v734 * v864) + (v736 * v866)),
        ((((v6 * v851) - ((v9 * tension_front_upper_link) * v236)) + (v731 * v864)) + (v732 * v866)),
        ((((v6 * v856) + (v732 * v864)) + (v735 * v866)) + (v9 * v851)), ((v730 * v864) + (v737 * v866)),
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (rear_mass * v823), 0.0, 0.0, 0.0, 0.0, 0.0, (v354 * rear_grip),
        v529, (v354 * rear_driven), v530, v1055, (-v554), v1053, (-v552), (-v535), v824, 0.0, v534, v525,
        v528, v519, v522, v531, v777, v778, v532, 0.0, v533, 0.0, v1046,
        (((v352 * grip_factor) * rear_driven) * rear_grip), v1050, (-v539), v1048, (-v537), (-v540),
        (v779 + (v14 * v1046)), (v782 + (v458 * v1046)), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (rear_mass * v826), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v668, 0.0,
        v669, (-v677), v1055, (-v676), v1053, (-v674), v827, 0.0, v673, v665, v667, v660, v662, v670, 0.0,
        0.0, v671, 0.0, v672, 0.0, rear_tyre_stiffness, v250, (-v679), v1050, (-v678), v1048, (-v675), v768,
        v769, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        1.0, 0.0, 0.0, 0.0, 0.0, ((v271 * rear_grip) * v1082), ((v529 * v1074) + (v668 * v1075)),
        (v272 * v1082), ((v530 * v1074) + (v669 * v1075)),
        ((((v741 * v1076) + (v742 * v1077)) + (v14 * v853)) + (v13 * v846)),
        ((((v458 * v853) + (v742 * v1076)) + (v745 * v1077)) + (v14 * v846)),
        ((v739 * v1076) + (v740 * v1077)), ((v740 * v1076) + (v744 * v1077)),
        ((v738 * v1076) + (v743 * v1077)), 0.0, 0.0, ((v534 * v1074) + (v673 * v1075)),
        ((((v525 * v1074) + (v665 * v1075)) + (v14 * v845)) + (v13 * v1073)),
        ((((v458 * v845) + (v528 * v1074)) + (v667 * v1075)) + (v14 * v1073)),
        ((v519 * v1074) + (v660 * v1075)), ((v522 * v1074) + (v662 * v1075)),
        ((v531 * v1074) + (v670 * v1075)), (v777 * v1082), (v778 * v1082), ((v532 * v1074) + (v671 * v1075)),
        0.0, ((v533 * v1074) + (v672 * v1075)), 0.0,
        ((rear_tyre_stiffness * v374) + ((rear_tyre_stiffness * v776) * v1082)),
        (((v250 * v776) * v1082) + (v250 * v374)),
        ((((v749 * v1078) + (v750 * v1079)) + (v14 * v854)) + (v13 * v843)),
        ((((v458 * v854) + (v750 * v1078)) + (v752 * v1079)) + (v14 * v843)),
        ((v747 * v1078) + (v748 * v1079)), ((v748 * v1078) + (v751 * v1079)),
        ((v746 * v1078) + (v753 * v1079)),
        (((((v459 * v1080) - (v13 * v266)) + (v374 * v768)) + ((v779 + (v768 * v776)) * v1082)) + (v14 * v1080)), (((((v458 * v1080) - (v14 * v266)) + (v374 * v769)) + ((v782 + (v769 * v776)) * v1082)) + (v13 * v1080)), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (front_mass * v823), 0.0, 0.0, (v798 * v1201), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (v390 * front_grip), v632, (v390 * front_driven), v633, v1213, (-v641), v1211, (-v639), (-v642), v824, 0.0, v637, v628, v631, v622, v625, v634, (v793 * v1201), (v796 * v1201), v635, 0.0, v636, 0.0, v1198, ((v389 * front_driven) * front_grip), v1218, (-v646), v1216, (-v644), (-v647), ((v106 * v1198) + (v802 * v1201)), ((v561 * v1198) + (v803 * v1201)), 0.0, 0.0, 0.0, 0.0, 0.0, (front_mass * v826), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v700, 0.0, v701, (-v709), v1213, (-v708), v1211, (-v706), v827, 0.0, v705, v697, v699, v692, v694, v702, 0.0, 0.0, v703, 0.0, v704, 0.0, front_tyre_stiffness, v283, (-v711), v1218, (-v710), v1216, (-v707), v804, v805, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v798 * v809) * v1235), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v301 * front_grip) * v1235), ((v632 * v1237) + (v700 * v1238)), (v302 * v1235), ((v633 * v1237) + (v701 * v1238)), ((((v725 * v1239) + (v726 * v1240)) + (v105 * v848)) + (v106 * v855)), ((((v561 * v855) + (v726 * v1239)) + (v728 * v1240)) + (v106 * v848)), ((v723 * v1239) + (v724 * v1240)), ((v724 * v1239) + (v727 * v1240)), ((v722 * v1239) + (v729 * v1240)), 0.0, 0.0, ((v637 * v1237) + (v705 * v1238)), ((((v628 * v1237) + (v697 * v1238)) + (v105 * v1236)) + (v106 * v852)), ((((v561 * v852) + (v631 * v1237)) + (v699 * v1238)) + (v106 * v1236)), ((v622 * v1237) + (v692 * v1238)), ((v625 * v1237) + (v694 * v1238)), ((v634 * v1237) + (v702 * v1238)), ((v793 * v809) * v1235), ((v796 * v809) * v1235), ((v635 * v1237) + (v703 * v1238)), 0.0, ((v636 * v1237) + (v704 * v1238)), 0.0, ((front_tyre_stiffness * v409) + ((front_tyre_stiffness * v811) * v1235)), ((v283 * v409) + ((v283 * v811) * v1235)), ((((v733 * v1241) + (v734 * v1242)) + (v105 * v850)) + (v106 * v856)), ((((v561 * v856) + (v734 * v1241)) + (v736 * v1242)) + (v106 * v850)), ((v731 * v1241) + (v732 * v1242)), ((v732 * v1241) + (v735 * v1242)), ((v730 * v1241) + (v737 * v1242)), (((((v562 * v1233) - (v105 * v297)) + (v106 * v1233)) + (v409 * v804)) + (((v802 * v809) + (v804 * v811)) * v1235)), (((((v561 * v1233) - (v106 * v297)) + (v105 * v1233)) + (v409 * v805)) + (((v803 * v809) + (v805 * v811)) * v1235)), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v459 * v1360) + (v13 * v1361)), ((v13 * v1360) + (v14 * v1361)), ((v450 * v1361) + (v9 * v1360)), ((v450 * v1360) + (v451 * v1361)), ((rear_lower_link_length * v26) + (v453 * (((0.5 * v422) - (0.5 * (v198 * v198))) - (0.5 * (v23 * v23))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v459 * v1383) + (v13 * v1377)), ((v13 * v1383) + (v14 * v1377)), ((v450 * v1377) + (v9 * v1383)), ((v450 * v1383) + (v451 * v1377)), ((rear_upper_link_length * v42) + (v456 * (((0.5 * v429) - (0.5 * (v40 * v40))) - (0.5 * (v206 * v206))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v562 * v1405) + (v105 * v1399)), ((v105 * v1405) + (v106 * v1399)), ((v450 * v1399) + (v9 * v1405)), ((v450 * v1405) + (v451 * v1399)), ((front_lower_link_length * v117) + (v556 * (((0.5 * v436) - (0.5 * (v115 * v115))) - (0.5 * (v219 * v219))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v562 * v1427) + (v105 * v1421)), ((v105 * v1427) + (v106 * v1421)), ((v450 * v1421) + (v9 * v1427)), ((v450 * v1427) + (v451 * v1421)), ((front_upper_link_length * v133) + (v559 * (((0.5 * v443) - (0.5 * (v131 * v131))) - (0.5 * (v227 * v227))))), 0.0, 0.0,)
