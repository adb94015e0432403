"""Scalar kernels: sensitivity. Written by `python -m model.derive`; do not edit.

Operations: creep_sensitivity 1196.
"""

from math import cos, sin, sqrt, tanh



def creep_sensitivity(unknowns, grade, parameters):
    """Derivatives of residual (13) and outputs (6) by every parameter."""
    (chassis_z, chassis_theta, rear_x, rear_z, rear_theta, front_x, front_z, front_theta,
        tension_rear_lower_link, tension_rear_upper_link, tension_front_lower_link, tension_front_upper_link,
        traction,) = unknowns
    (brake_speed, chassis_inertia, chassis_mass, front_alone, front_damping, front_driven, front_free_length,
        front_grip, front_longest, front_lower_link_axle_x, front_lower_link_axle_z,
        front_lower_link_chassis_x, front_lower_link_chassis_z, front_lower_link_length, front_mass,
        front_motor, front_shock_axle_x, front_shock_axle_z, front_shock_chassis_x, front_shock_chassis_z,
        front_shortest, front_slip_ratio_scale, front_slip_speed, front_spring_rate, front_stop_damping,
        front_stop_stiffness, front_tyre_damping, front_tyre_radius, front_tyre_stiffness,
        front_upper_link_axle_x, front_upper_link_axle_z, front_upper_link_chassis_x,
        front_upper_link_chassis_z, front_upper_link_length, front_wheel_centre_x, front_wheel_centre_z,
        geared, gravity, mobility_front_spin_front_spin, mobility_front_theta_front_spin,
        mobility_front_theta_front_theta, mobility_front_theta_rear_spin, mobility_rear_spin_front_spin,
        mobility_rear_spin_rear_spin, mobility_rear_theta_front_spin, mobility_rear_theta_front_theta,
        mobility_rear_theta_rear_spin, mobility_rear_theta_rear_theta, no_load_speed, rear_damping,
        rear_driven, rear_free_length, rear_grip, rear_housing_couple, rear_longest, rear_lower_link_axle_x,
        rear_lower_link_axle_z, rear_lower_link_chassis_x, rear_lower_link_chassis_z, rear_lower_link_length,
        rear_mass, rear_motor, rear_shock_axle_x, rear_shock_axle_z, rear_shock_chassis_x,
        rear_shock_chassis_z, rear_shortest, rear_slip_ratio_scale, rear_slip_speed, rear_spring_rate,
        rear_stop_damping, rear_stop_stiffness, rear_tyre_damping, rear_tyre_radius, rear_tyre_stiffness,
        rear_upper_link_axle_x, rear_upper_link_axle_z, rear_upper_link_chassis_x, rear_upper_link_chassis_z,
        rear_upper_link_length, rear_wheel_centre_x, rear_wheel_centre_z, spin_ratio,
        stall_torque,) = parameters
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
    v60 = ((v14 * rear_shock_axle_x) - (v13 * rear_shock_axle_z))
    v62 = (-rear_z)
    v64 = (v62 + chassis_z)
    v66 = ((v9 * rear_shock_chassis_x) - (v6 * rear_shock_chassis_z))
    v68 = ((v66 - v60) - v64)
    v72 = sqrt(((v56 * v56) + (v68 * v68)))
    v73 = (-v72)
    v77 = ((-v73) - rear_longest)
    v78 = (v77 if v77 > 0.0 else 0.0)
    v79 = (rear_stop_stiffness * v78)
    v83 = (v73 + rear_free_length)
    v86 = (v73 + rear_shortest)
    v87 = (v86 if v86 > 0.0 else 0.0)
    v88 = (rear_stop_stiffness * v87)
    v91 = (((rear_spring_rate * v83) + (v88 if v88 > 0.0 else 0.0)) - (v79 if v79 > 0.0 else 0.0))
    v92 = (v91 / v72)
    v93 = (v56 * v92)
    v99 = (v6 * front_lower_link_chassis_x)
    v101 = (v9 * front_lower_link_chassis_z)
    v103 = cos(front_theta)
    v104 = sin(front_theta)
    v109 = ((v103 * front_lower_link_axle_x) + (v104 * front_lower_link_axle_z))
    v113 = (((v109 + front_x) - v99) - v101)
    v115 = (1.0 / front_lower_link_length)
    v117 = (v115 * tension_front_lower_link)
    v119 = (v6 * front_upper_link_chassis_x)
    v121 = (v9 * front_upper_link_chassis_z)
    v126 = ((v103 * front_upper_link_axle_x) + (v104 * front_upper_link_axle_z))
    v129 = (((front_x + v126) - v119) - v121)
    v131 = (1.0 / front_upper_link_length)
    v133 = (v131 * tension_front_upper_link)
    v135 = (v6 * front_shock_chassis_x)
    v137 = (v9 * front_shock_chassis_z)
    v142 = ((v103 * front_shock_axle_x) + (v104 * front_shock_axle_z))
    v145 = (((front_x + v142) - v135) - v137)
    v149 = ((v104 * front_shock_axle_x) - (v103 * front_shock_axle_z))
    v151 = (-front_z)
    v152 = (chassis_z + v151)
    v154 = ((v9 * front_shock_chassis_x) - (v6 * front_shock_chassis_z))
    v156 = ((v154 - v149) - v152)
    v160 = sqrt(((v145 * v145) + (v156 * v156)))
    v161 = (-v160)
    v165 = ((-v161) - front_longest)
    v166 = (v165 if v165 > 0.0 else 0.0)
    v167 = (front_stop_stiffness * v166)
    v171 = (v161 + front_free_length)
    v174 = (v161 + front_shortest)
    v175 = (v174 if v174 > 0.0 else 0.0)
    v176 = (front_stop_stiffness * v175)
    v179 = (((front_spring_rate * v171) + (v176 if v176 > 0.0 else 0.0)) - (v167 if v167 > 0.0 else 0.0))
    v180 = (v179 / v160)
    v181 = (v145 * v180)
    v187 = (v6 * rear_lower_link_chassis_z)
    v190 = ((v14 * rear_lower_link_axle_x) - (v13 * rear_lower_link_axle_z))
    v191 = (rear_lower_link_chassis_x * v9)
    v194 = (((v191 - v64) - v187) - v190)
    v195 = (v6 * rear_upper_link_chassis_z)
    v198 = ((v14 * rear_upper_link_axle_x) - (v13 * rear_upper_link_axle_z))
    v199 = (v9 * rear_upper_link_chassis_x)
    v202 = (((v199 - v64) - v195) - v198)
    v203 = (v68 * v92)
    v208 = (v6 * front_lower_link_chassis_z)
    v211 = ((v104 * front_lower_link_axle_x) - (v103 * front_lower_link_axle_z))
    v212 = (v9 * front_lower_link_chassis_x)
    v215 = (((v212 - v152) - v208) - v211)
    v216 = (v6 * front_upper_link_chassis_z)
    v219 = ((v104 * front_upper_link_axle_x) - (v103 * front_upper_link_axle_z))
    v220 = (v9 * front_upper_link_chassis_x)
    v223 = (((v220 - v152) - v216) - v219)
    v224 = (v156 * v180)
    v229 = (v115 * v215)
    v230 = (v113 * v115)
    v231 = (v131 * v223)
    v232 = (v129 * v131)
    v233 = (v26 * v194)
    v234 = (v23 * v26)
    v235 = (v42 * v202)
    v236 = (v40 * v42)
    v238 = (v104 * front_wheel_centre_x)
    v240 = (v103 * front_wheel_centre_z)
    v241 = (v238 - v240)
    v244 = ((v151 + v241) + front_tyre_radius)
    v246 = (v244 * front_tyre_stiffness)
    v248 = (v246 * front_grip)
    v250 = (v14 * rear_wheel_centre_x)
    v252 = (v13 * rear_wheel_centre_z)
    v253 = (v250 - v252)
    v256 = ((v62 + v253) + rear_tyre_radius)
    v258 = (v256 * rear_tyre_stiffness)
    v263 = (v248 + (v258 * rear_grip))
    v264 = (v248 * geared)
    v266 = (front_alone + (v264 / v263))
    v271 = ((1.0 - v266) * traction)
    v274 = (v266 * traction)
    v311 = (v46 + v48)
    v313 = (v135 + v137)
    v340 = ((-(v13 * rear_wheel_centre_x)) - (v14 * rear_wheel_centre_z))
    v372 = ((-(v103 * front_wheel_centre_x)) - (v104 * front_wheel_centre_z))
    v387 = (rear_lower_link_length * rear_lower_link_length)
    v394 = (rear_upper_link_length * rear_upper_link_length)
    v401 = (front_lower_link_length * front_lower_link_length)
    v408 = (front_upper_link_length * front_upper_link_length)
    v415 = (-v6)
    v416 = (-v9)
    v418 = (-(1.0 / v387))
    v419 = (tension_rear_lower_link * v418)
    v421 = (-(1.0 / v394))
    v422 = (tension_rear_upper_link * v421)
    v423 = (-v13)
    v424 = (-v14)
    v425 = (-v423)
    v426 = (v56 / v72)
    v427 = (v68 / v72)
    v430 = ((v415 * v426) + (v9 * v427))
    v433 = ((v415 * v427) + (v416 * v426))
    v436 = ((v424 * v427) + (v13 * v426))
    v439 = ((v425 * v427) + (v14 * v426))
    v444 = (rear_spring_rate / v72)
    v445 = (1.0 if v79 > 0.0 else 0.0)
    v448 = ((rear_stop_stiffness * v445) * (1.0 if v77 > 0.0 else 0.0))
    v449 = (v448 / v72)
    v450 = (1.0 if v88 > 0.0 else 0.0)
    v453 = ((rear_stop_stiffness * v450) * (1.0 if v86 > 0.0 else 0.0))
    v454 = (v453 / v72)
    v455 = (v83 / v72)
    v459 = (((v87 * v450) - (v78 * v445)) / v72)
    v462 = (-(v91 / (v72 * v72)))
    v465 = (((rear_spring_rate + v448) + v453) / v72)
    v468 = ((v430 * v462) + ((-v430) * v465))
    v471 = ((v433 * v462) + ((-v433) * v465))
    v474 = ((v436 * v462) + ((-v436) * v465))
    v477 = ((v439 * v462) + ((-v439) * v465))
    v478 = (v92 * v415)
    v480 = (v478 + (v56 * v468))
    v483 = ((v92 * v416) + (v56 * v471))
    v486 = ((v56 * v474) + (v13 * v92))
    v489 = ((v56 * v477) + (v14 * v92))
    v490 = (v56 * v444)
    v491 = (v56 * v449)
    v492 = (v56 * v454)
    v493 = (v56 * v455)
    v494 = (v56 * v459)
    v495 = (v23 * v419)
    v496 = (v44 * v415)
    v497 = (v44 * v416)
    v498 = (v13 * v44)
    v499 = (v14 * v44)
    v500 = (v40 * v422)
    v501 = (-v480)
    v502 = (-v483)
    v503 = (-v486)
    v504 = (-v489)
    v505 = (-v490)
    v506 = (-v491)
    v507 = (-v492)
    v508 = (-v493)
    v509 = (-v494)
    v510 = (v28 * v415)
    v511 = (v28 * v416)
    v512 = (v13 * v28)
    v513 = (v14 * v28)
    v515 = (-(1.0 / v401))
    v516 = (tension_front_lower_link * v515)
    v518 = (-(1.0 / v408))
    v519 = (tension_front_upper_link * v518)
    v520 = (-v103)
    v521 = (-v104)
    v522 = (-v520)
    v523 = (v145 / v160)
    v524 = (v156 / v160)
    v527 = ((v415 * v523) + (v9 * v524))
    v530 = ((v415 * v524) + (v416 * v523))
    v533 = ((v521 * v524) + (v103 * v523))
    v536 = ((v522 * v524) + (v104 * v523))
    v541 = (front_spring_rate / v160)
    v542 = (1.0 if v167 > 0.0 else 0.0)
    v545 = ((front_stop_stiffness * v542) * (1.0 if v165 > 0.0 else 0.0))
    v546 = (v545 / v160)
    v547 = (1.0 if v176 > 0.0 else 0.0)
    v550 = ((front_stop_stiffness * v547) * (1.0 if v174 > 0.0 else 0.0))
    v551 = (v550 / v160)
    v552 = (v171 / v160)
    v556 = (((v175 * v547) - (v166 * v542)) / v160)
    v559 = (-(v179 / (v160 * v160)))
    v562 = (((front_spring_rate + v545) + v550) / v160)
    v565 = ((v527 * v559) + ((-v527) * v562))
    v568 = ((v530 * v559) + ((-v530) * v562))
    v571 = ((v533 * v559) + ((-v533) * v562))
    v574 = ((v536 * v559) + ((-v536) * v562))
    v575 = (v180 * v415)
    v577 = (v575 + (v145 * v565))
    v580 = ((v180 * v416) + (v145 * v568))
    v583 = ((v145 * v571) + (v103 * v180))
    v586 = ((v145 * v574) + (v104 * v180))
    v587 = (v145 * v541)
    v588 = (v145 * v546)
    v589 = (v145 * v551)
    v590 = (v145 * v552)
    v591 = (v145 * v556)
    v592 = (v117 * v415)
    v593 = (v117 * v416)
    v594 = (v103 * v117)
    v595 = (v104 * v117)
    v596 = (v113 * v516)
    v597 = (v133 * v415)
    v598 = (v133 * v416)
    v599 = (v103 * v133)
    v600 = (v104 * v133)
    v601 = (v129 * v519)
    v602 = (-v577)
    v603 = (-v580)
    v604 = (-v583)
    v605 = (-v586)
    v606 = (-v587)
    v607 = (-v588)
    v608 = (-v589)
    v609 = (-v590)
    v610 = (-v591)
    v613 = ((v68 * v468) + (v9 * v92))
    v615 = (v478 + (v68 * v471))
    v618 = ((v92 * v424) + (v68 * v474))
    v621 = ((v92 * v425) + (v68 * v477))
    v622 = (v68 * v444)
    v623 = (v68 * v449)
    v624 = (v68 * v454)
    v625 = (v68 * v455)
    v626 = (v68 * v459)
    v627 = (v194 * v419)
    v628 = (v202 * v422)
    v629 = (v9 * v28)
    v630 = (v28 * v424)
    v631 = (v28 * v425)
    v632 = (v9 * v44)
    v633 = (v44 * v424)
    v634 = (v44 * v425)
    v635 = (-v613)
    v636 = (-v615)
    v637 = (-v618)
    v638 = (-v621)
    v639 = (-v622)
    v640 = (-v623)
    v641 = (-v624)
    v642 = (-v625)
    v643 = (-v626)
    v646 = ((v156 * v565) + (v9 * v180))
    v648 = (v575 + (v156 * v568))
    v651 = ((v180 * v521) + (v156 * v571))
    v654 = ((v180 * v522) + (v156 * v574))
    v655 = (v156 * v541)
    v656 = (v156 * v546)
    v657 = (v156 * v551)
    v658 = (v156 * v552)
    v659 = (v156 * v556)
    v660 = (v215 * v516)
    v661 = (v223 * v519)
    v662 = (v9 * v117)
    v663 = (v117 * v521)
    v664 = (v117 * v522)
    v665 = (v9 * v133)
    v666 = (v133 * v521)
    v667 = (v133 * v522)
    v668 = (-v646)
    v669 = (-v648)
    v670 = (-v651)
    v671 = (-v654)
    v672 = (-v655)
    v673 = (-v656)
    v674 = (-v657)
    v675 = (-v658)
    v676 = (-v659)
    v677 = (v215 * v515)
    v678 = (v9 * v115)
    v679 = (v115 * v415)
    v680 = (v115 * v521)
    v681 = (v115 * v522)
    v682 = (v115 * v416)
    v683 = (v103 * v115)
    v684 = (v104 * v115)
    v685 = (v113 * v515)
    v686 = (v223 * v518)
    v687 = (v9 * v131)
    v688 = (v131 * v415)
    v689 = (v131 * v521)
    v690 = (v131 * v522)
    v691 = (v131 * v416)
    v692 = (v103 * v131)
    v693 = (v104 * v131)
    v694 = (v129 * v518)
    v695 = (v194 * v418)
    v696 = (v9 * v26)
    v697 = (v26 * v415)
    v698 = (v26 * v424)
    v699 = (v26 * v425)
    v700 = (v23 * v418)
    v701 = (v26 * v416)
    v702 = (v13 * v26)
    v703 = (v14 * v26)
    v704 = (v202 * v421)
    v705 = (v9 * v42)
    v706 = (v42 * v415)
    v707 = (v42 * v424)
    v708 = (v42 * v425)
    v709 = (v42 * v416)
    v710 = (v13 * v42)
    v711 = (v14 * v42)
    v712 = (v40 * v421)
    v713 = (v104 * front_tyre_stiffness)
    v714 = (front_tyre_stiffness * v520)
    v719 = (v14 * rear_tyre_stiffness)
    v720 = (rear_tyre_stiffness * v423)
    v721 = (v248 / v263)
    v722 = (v263 * v263)
    v726 = (-(((v248 * v258) * geared) / v722))
    v729 = ((geared / v263) - (v264 / v722))
    v732 = (-((v264 * rear_grip) / v722))
    v733 = (v246 * v729)
    v734 = ((v244 * front_grip) * v729)
    v735 = ((front_tyre_stiffness * front_grip) * v729)
    v736 = ((front_grip * v713) * v729)
    v737 = ((front_grip * v714) * v729)
    v738 = (v256 * v732)
    v739 = (rear_tyre_stiffness * v732)
    v740 = (v719 * v732)
    v741 = (v720 * v732)
    v753 = (-traction)
    v754 = (traction * (-v721))
    v755 = (traction * (-v726))
    v756 = (traction * (-v733))
    v757 = (traction * (-v734))
    v758 = (traction * (-v735))
    v759 = (traction * (-v736))
    v760 = (traction * (-v737))
    v761 = (traction * (-v738))
    v762 = (traction * (-v739))
    v763 = (traction * (-v740))
    v764 = (traction * (-v741))
    v765 = (traction * v721)
    v766 = (traction * v726)
    v767 = (traction * v733)
    v768 = (traction * v734)
    v769 = (traction * v735)
    v770 = (traction * v736)
    v771 = (traction * v737)
    v772 = (traction * v738)
    v773 = (traction * v739)
    v774 = (traction * v740)
    v775 = (traction * v741)
    v776 = (-sin(grade))
    v777 = (gravity * v776)
    v779 = (-cos(grade))
    v780 = (gravity * v779)
    v796 = (tension_rear_upper_link * v235)
    v797 = (-v796)
    v798 = (-v93)
    v799 = (tension_rear_lower_link * v233)
    v800 = (-v799)
    v801 = (tension_front_lower_link * v229)
    v802 = (-v801)
    v803 = (tension_front_upper_link * v231)
    v804 = (-v803)
    v805 = (-v181)
    v806 = (tension_rear_lower_link * v234)
    v807 = (tension_rear_upper_link * v236)
    v808 = (tension_front_lower_link * v230)
    v809 = (tension_front_upper_link * v232)
    v812 = (tension_front_lower_link * ((-v99) - v101))
    v814 = (tension_front_lower_link * (v208 - v212))
    v817 = (tension_front_upper_link * ((-v119) - v121))
    v819 = (tension_front_upper_link * (v216 - v220))
    v822 = (tension_rear_lower_link * ((-v8) - v11))
    v824 = (tension_rear_lower_link * (v187 - v191))
    v827 = (tension_rear_upper_link * ((-v30) - v32))
    v829 = (tension_rear_upper_link * (v195 - v199))
    v987 = (-v496)
    v1001 = (-v510)
    v1028 = (-v203)
    v1029 = (-v60)
    v1030 = (-v53)
    v1031 = (v19 * tension_rear_lower_link)
    v1032 = (tension_rear_lower_link * v190)
    v1033 = (v37 * tension_rear_upper_link)
    v1034 = (tension_rear_upper_link * v198)
    v1035 = (-v271)
    v1038 = (((v250 - rear_z) - v252) - v253)
    v1151 = (-v592)
    v1156 = (-v597)
    v1194 = (((v238 - front_z) - v240) - v241)
    v1195 = (-v224)
    v1196 = (-v149)
    v1197 = (-v142)
    v1198 = (v109 * tension_front_lower_link)
    v1199 = (tension_front_lower_link * v211)
    v1200 = (v126 * tension_front_upper_link)
    v1201 = (tension_front_upper_link * v219)
    v1202 = (-v274)
    v1320 = (-v233)
    v1321 = (-v234)
    v1337 = (-v236)
    v1343 = (-v235)
    v1359 = (-v230)
    v1365 = (-v229)
    v1381 = (-v232)
    v1387 = (-v231)
    return (0.0, 0.0, v777, 0.0, 0.0, 0.0, v606, 0.0, v607, v594, v595, v592, v593, v596, 0.0, 0.0, v604,
        v605, v602, v603, v608, 0.0, 0.0, v609, 0.0, v610, 0.0, 0.0, 0.0, v599, v600, v597, v598, v601, 0.0,
        0.0, 0.0, (chassis_mass * v776), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        v505, 0.0, 0.0, v506, v512, v513, v510, v511, v495, 0.0, 0.0, v503, v504, v501, v502, v507, 0.0, 0.0,
        v508, 0.0, v509, 0.0, 0.0, 0.0, v498, v499, v496, v497, v500, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v780,
        0.0, 0.0, 0.0, v672, 0.0, v673, v663, v664, v662, v592, v660, 0.0, 0.0, v670, v671, v668, v669, v674,
        0.0, 0.0, v675, 0.0, v676, 0.0, 0.0, 0.0, v666, v667, v665, v597, v661, 0.0, 0.0, 0.0,
        (chassis_mass * v779), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v639, 0.0,
        0.0, v640, v630, v631, v629, v510, v627, 0.0, 0.0, v637, v638, v635, v636, v641, 0.0, 0.0, v642, 0.0,
        v643, 0.0, 0.0, 0.0, v633, v634, v632, v496, v628, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        ((v154 * v587) + (v313 * v655)), 0.0, ((v154 * v588) + (v313 * v656)),
        ((v680 * v812) + (v683 * v814)), ((v681 * v812) + (v684 * v814)),
        ((((-((v9 * tension_front_lower_link) * v230)) + (v6 * v802)) + (v678 * v812)) + (v679 * v814)),
        ((((v6 * v808) + (v679 * v812)) + (v682 * v814)) + (v9 * v802)), ((v677 * v812) + (v685 * v814)),
        0.0, 0.0, ((v154 * v583) + (v313 * v651)), ((v154 * v586) + (v313 * v654)),
        ((((v9 * v181) + (v6 * v224)) + (v154 * v577)) + (v313 * v646)),
        ((((v6 * v805) + (v154 * v580)) + (v313 * v648)) + (v9 * v224)), ((v154 * v589) + (v313 * v657)),
        0.0, 0.0, ((v154 * v590) + (v313 * v658)), 0.0, ((v154 * v591) + (v313 * v659)), 0.0, 0.0, 0.0,
        ((v689 * v817) + (v692 * v819)), ((v690 * v817) + (v693 * v819)),
        ((((-((v9 * tension_front_upper_link) * v232)) + (v6 * v804)) + (v687 * v817)) + (v688 * v819)),
        ((((v6 * v809) + (v688 * v817)) + (v691 * v819)) + (v9 * v804)), ((v686 * v817) + (v694 * v819)),
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        ((v66 * v490) + (v311 * v622)), 0.0, 0.0, ((v66 * v491) + (v311 * v623)),
        ((v698 * v822) + (v702 * v824)), ((v699 * v822) + (v703 * v824)),
        ((((-((v9 * tension_rear_lower_link) * v234)) + (v6 * v800)) + (v696 * v822)) + (v697 * v824)),
        ((((v6 * v806) + (v697 * v822)) + (v701 * v824)) + (v9 * v800)), ((v695 * v822) + (v700 * v824)),
        0.0, 0.0, ((v66 * v486) + (v311 * v618)), ((v66 * v489) + (v311 * v621)),
        ((((v9 * v93) + (v66 * v480)) + (v6 * v203)) + (v311 * v613)),
        ((((v66 * v483) + (v6 * v798)) + (v311 * v615)) + (v9 * v203)), ((v66 * v492) + (v311 * v624)), 0.0,
        0.0, ((v66 * v493) + (v311 * v625)), 0.0, ((v66 * v494) + (v311 * v626)), 0.0, 0.0, 0.0,
        ((v707 * v827) + (v710 * v829)), ((v708 * v827) + (v711 * v829)),
        ((((-((v9 * tension_rear_upper_link) * v236)) + (v6 * v797)) + (v705 * v827)) + (v706 * v829)),
        ((((v6 * v807) + (v706 * v827)) + (v709 * v829)) + (v9 * v797)), ((v704 * v827) + (v712 * v829)),
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v753, 0.0, 0.0, 0.0, v756, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v758, v757, 0.0, 0.0, 0.0, 0.0, 0.0, v759,
        v760, v754, (rear_mass * v776), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        (-v505), v755, 0.0, (-v506), (-v512), (-v513), v1001, (-v511), (-v495), v777, 0.0, (-v503), (-v504),
        (-v501), (-v502), (-v507), 0.0, 0.0, (-v508), 0.0, (-v509), 0.0, v762, v761, (-v498), (-v499), v987,
        (-v497), (-v500), v763, v764, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, (rear_mass * v779), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, (-v639), 0.0, 0.0, (-v640), (-v630), (-v631), (-v629), v1001, (-v627), v780, 0.0, (-v637),
        (-v638), (-v635), (-v636), (-v641), 0.0, 0.0, (-v642), 0.0, (-v643), 0.0, rear_tyre_stiffness, v256,
        (-v633), (-v634), (-v632), v987, (-v628), v719, v720, 0.0, 0.0, 0.0, 0.0, 0.0, (v753 * v1038), 0.0,
        0.0, 0.0, (v756 * v1038), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, (v758 * v1038), (v757 * v1038), 0.0, 0.0, 0.0, 0.0, 0.0, (v759 * v1038),
        (v760 * v1038), (v754 * v1038), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        ((v490 * v1029) + (v622 * v1030)), (v755 * v1038), 1.0, ((v491 * v1029) + (v623 * v1030)),
        ((((v698 * v1031) + (v702 * v1032)) + (v14 * v806)) + (v13 * v799)),
        ((((v423 * v806) + (v699 * v1031)) + (v703 * v1032)) + (v14 * v799)),
        ((v696 * v1031) + (v697 * v1032)), ((v697 * v1031) + (v701 * v1032)),
        ((v695 * v1031) + (v700 * v1032)), 0.0, 0.0,
        ((((v486 * v1029) + (v618 * v1030)) + (v14 * v798)) + (v13 * v1028)),
        ((((v423 * v798) + (v489 * v1029)) + (v621 * v1030)) + (v14 * v1028)),
        ((v480 * v1029) + (v613 * v1030)), ((v483 * v1029) + (v615 * v1030)),
        ((v492 * v1029) + (v624 * v1030)), 0.0, 0.0, ((v493 * v1029) + (v625 * v1030)), 0.0,
        ((v494 * v1029) + (v626 * v1030)), 0.0, ((rear_tyre_stiffness * v340) + (v762 * v1038)),
        ((v761 * v1038) + (v256 * v340)),
        ((((v707 * v1033) + (v710 * v1034)) + (v14 * v807)) + (v13 * v796)),
        ((((v423 * v807) + (v708 * v1033)) + (v711 * v1034)) + (v14 * v796)),
        ((v705 * v1033) + (v706 * v1034)), ((v706 * v1033) + (v709 * v1034)),
        ((v704 * v1033) + (v712 * v1034)),
        (((((-(v13 * v258)) + (v340 * v719)) + (v763 * v1038)) + (v14 * v1035)) + (v14 * v271)),
        (((((-(v14 * v258)) + (v423 * v1035)) + (v340 * v720)) + (v764 * v1038)) + (v13 * v1035)), 0.0, 0.0,
        0.0, 0.0, 0.0, traction, 0.0, 0.0, (-v606), v767, (-v607), (-v594), (-v595), v1151, (-v593), (-v596),
        v777, 0.0, (-v604), (-v605), (-v602), (-v603), (-v608), 0.0, 0.0, (-v609), 0.0, (-v610), 0.0, v769,
        v768, (-v599), (-v600), v1156, (-v598), (-v601), v770, v771, v765, (front_mass * v776), 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v766, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v773, v772, 0.0, 0.0, 0.0, 0.0, 0.0,
        v774, v775, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (-v672), 0.0, (-v673), (-v663), (-v664), (-v662),
        v1151, (-v660), v780, 0.0, (-v670), (-v671), (-v668), (-v669), (-v674), 0.0, 0.0, (-v675), 0.0,
        (-v676), 0.0, front_tyre_stiffness, v244, (-v666), (-v667), (-v665), v1156, (-v661), v713, v714, 0.0,
        (front_mass * v779), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (traction * v1194), 0.0, 0.0,
        ((v587 * v1196) + (v655 * v1197)), (v767 * v1194), ((v588 * v1196) + (v656 * v1197)),
        ((((v680 * v1198) + (v683 * v1199)) + (v103 * v801)) + (v104 * v808)),
        ((((v520 * v808) + (v681 * v1198)) + (v684 * v1199)) + (v104 * v801)),
        ((v678 * v1198) + (v679 * v1199)), ((v679 * v1198) + (v682 * v1199)),
        ((v677 * v1198) + (v685 * v1199)), 0.0, 0.0,
        ((((v583 * v1196) + (v651 * v1197)) + (v103 * v1195)) + (v104 * v805)),
        ((((v520 * v805) + (v586 * v1196)) + (v654 * v1197)) + (v104 * v1195)),
        ((v577 * v1196) + (v646 * v1197)), ((v580 * v1196) + (v648 * v1197)),
        ((v589 * v1196) + (v657 * v1197)), 0.0, 0.0, ((v590 * v1196) + (v658 * v1197)), 0.0,
        ((v591 * v1196) + (v659 * v1197)), 0.0, ((front_tyre_stiffness * v372) + (v769 * v1194)),
        ((v768 * v1194) + (v244 * v372)),
        ((((v689 * v1200) + (v692 * v1201)) + (v103 * v803)) + (v104 * v809)),
        ((((v520 * v809) + (v690 * v1200)) + (v693 * v1201)) + (v104 * v803)),
        ((v687 * v1200) + (v688 * v1201)), ((v688 * v1200) + (v691 * v1201)),
        ((v686 * v1200) + (v694 * v1201)),
        (((((-(v103 * v246)) + (v104 * v274)) + (v372 * v713)) + (v104 * v1202)) + (v770 * v1194)),
        (((((-(v104 * v246)) + (v520 * v1202)) + (v372 * v714)) + (v103 * v1202)) + (v771 * v1194)),
        (v765 * v1194), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        (v766 * v1194), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, (v773 * v1194), (v772 * v1194), 0.0, 0.0, 0.0, 0.0, 0.0, (v774 * v1194),
        (v775 * v1194), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        ((v424 * v1320) + (v13 * v1321)), ((v425 * v1320) + (v14 * v1321)), ((v415 * v1321) + (v9 * v1320)),
        ((v415 * v1320) + (v416 * v1321)),
        ((rear_lower_link_length * v26) + (v418 * (((0.5 * v387) - (0.5 * (v194 * v194))) - (0.5 * (v23 * v23))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v424 * v1343) + (v13 * v1337)), ((v425 * v1343) + (v14 * v1337)), ((v415 * v1337) + (v9 * v1343)), ((v415 * v1343) + (v416 * v1337)), ((rear_upper_link_length * v42) + (v421 * (((0.5 * v394) - (0.5 * (v40 * v40))) - (0.5 * (v202 * v202))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v521 * v1365) + (v103 * v1359)), ((v522 * v1365) + (v104 * v1359)), ((v415 * v1359) + (v9 * v1365)), ((v415 * v1365) + (v416 * v1359)), ((front_lower_link_length * v115) + (v515 * (((0.5 * v401) - (0.5 * (v113 * v113))) - (0.5 * (v215 * v215))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v521 * v1387) + (v103 * v1381)), ((v522 * v1387) + (v104 * v1381)), ((v415 * v1381) + (v9 * v1387)), ((v415 * v1387) + (v416 * v1381)), ((front_upper_link_length * v131) + (v518 * (((0.5 * v408) - (0.5 * (v129 * v129))) - (0.5 * (v223 * v223))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, rear_tyre_stiffness, v256, 0.0, 0.0, 0.0, 0.0, 0.0, v719, v720, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, front_tyre_stiffness, v244, 0.0, 0.0, 0.0, 0.0, 0.0, v713, v714, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v753, 0.0, 0.0, 0.0, v756, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v758, v757, 0.0, 0.0, 0.0, 0.0, 0.0, v759, v760, v754, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v755, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v762, v761, 0.0, 0.0, 0.0, 0.0, 0.0, v763, v764, 0.0, 0.0, 0.0, 0.0, 0.0, traction, 0.0, 0.0, 0.0, v767, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v769, v768, 0.0, 0.0, 0.0, 0.0, 0.0, v770, v771, v765, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v766, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v773, v772, 0.0, 0.0, 0.0, 0.0, 0.0, v774, v775, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v436, v439, v430, v433, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v533, v536, v527, v530, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,)
