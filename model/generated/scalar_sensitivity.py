"""Scalar kernels: sensitivity. Written by `python -m model.derive`; do not edit.

Operations: creep_sensitivity 1196, steady_sensitivity 1249.
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


def steady_sensitivity(unknowns, grip_factor, grade, parameters):
    """Derivatives of the steady residual (13) by every parameter."""
    (chassis_z, chassis_theta, rear_x, rear_z, rear_theta, front_x, front_z, front_theta,
        tension_rear_lower_link, tension_rear_upper_link, tension_front_lower_link, tension_front_upper_link,
        spin_speed, travel_speed,) = unknowns
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
    v240 = (v14 * rear_wheel_centre_x)
    v242 = (v13 * rear_wheel_centre_z)
    v243 = (v240 - v242)
    v246 = ((v62 + v243) + rear_tyre_radius)
    v248 = abs(travel_speed)
    v249 = (-travel_speed)
    v251 = ((rear_z + v242) - v240)
    v255 = (rear_slip_speed + (v248 * rear_slip_ratio_scale))
    v258 = (v249 + (v251 * spin_speed))
    v260 = tanh((v258 / v255))
    v262 = (v246 * rear_tyre_stiffness)
    v267 = ((v260 * v262) * grip_factor)
    v268 = (v267 * rear_driven)
    v273 = (v104 * front_wheel_centre_x)
    v275 = (v103 * front_wheel_centre_z)
    v276 = (v273 - v275)
    v279 = ((v151 + v276) + front_tyre_radius)
    v281 = ((front_z + v275) - v273)
    v285 = (front_slip_speed + (v248 * front_slip_ratio_scale))
    v287 = (spin_speed * v281)
    v289 = (v249 + (v287 * spin_ratio))
    v291 = tanh((v289 / v285))
    v293 = (v279 * front_tyre_stiffness)
    v296 = (grip_factor * v291)
    v297 = (v296 * v293)
    v298 = (v297 * front_driven)
    v336 = (v46 + v48)
    v338 = (v135 + v137)
    v348 = (v246 * v260)
    v350 = ((v348 * rear_tyre_stiffness) * grip_factor)
    v370 = ((-(v13 * rear_wheel_centre_x)) - (v14 * rear_wheel_centre_z))
    v384 = (grip_factor * v279)
    v385 = (v384 * v291)
    v386 = (v385 * front_tyre_stiffness)
    v405 = ((-(v103 * front_wheel_centre_x)) - (v104 * front_wheel_centre_z))
    v418 = (rear_lower_link_length * rear_lower_link_length)
    v425 = (rear_upper_link_length * rear_upper_link_length)
    v432 = (front_lower_link_length * front_lower_link_length)
    v439 = (front_upper_link_length * front_upper_link_length)
    v446 = (-v6)
    v447 = (-v9)
    v449 = (-(1.0 / v418))
    v450 = (tension_rear_lower_link * v449)
    v452 = (-(1.0 / v425))
    v453 = (tension_rear_upper_link * v452)
    v454 = (-v13)
    v455 = (-v14)
    v456 = (-v454)
    v457 = (v56 / v72)
    v458 = (v68 / v72)
    v461 = ((v446 * v457) + (v9 * v458))
    v464 = ((v446 * v458) + (v447 * v457))
    v467 = ((v455 * v458) + (v13 * v457))
    v470 = ((v456 * v458) + (v14 * v457))
    v475 = (rear_spring_rate / v72)
    v476 = (1.0 if v79 > 0.0 else 0.0)
    v479 = ((rear_stop_stiffness * v476) * (1.0 if v77 > 0.0 else 0.0))
    v480 = (v479 / v72)
    v481 = (1.0 if v88 > 0.0 else 0.0)
    v484 = ((rear_stop_stiffness * v481) * (1.0 if v86 > 0.0 else 0.0))
    v485 = (v484 / v72)
    v486 = (v83 / v72)
    v490 = (((v87 * v481) - (v78 * v476)) / v72)
    v493 = (-(v91 / (v72 * v72)))
    v496 = (((rear_spring_rate + v479) + v484) / v72)
    v499 = ((v461 * v493) + ((-v461) * v496))
    v502 = ((v464 * v493) + ((-v464) * v496))
    v505 = ((v467 * v493) + ((-v467) * v496))
    v508 = ((v470 * v493) + ((-v470) * v496))
    v509 = (v92 * v446)
    v511 = (v509 + (v56 * v499))
    v514 = ((v92 * v447) + (v56 * v502))
    v517 = ((v56 * v505) + (v13 * v92))
    v520 = ((v56 * v508) + (v14 * v92))
    v521 = (v56 * v475)
    v522 = (v56 * v480)
    v523 = (v56 * v485)
    v524 = (v56 * v486)
    v525 = (v56 * v490)
    v526 = (v23 * v450)
    v527 = (v44 * v446)
    v528 = (v44 * v447)
    v529 = (v13 * v44)
    v530 = (v14 * v44)
    v531 = (v40 * v453)
    v532 = (-v511)
    v533 = (-v514)
    v534 = (-v517)
    v535 = (-v520)
    v536 = (-v521)
    v537 = (-v522)
    v538 = (-v523)
    v539 = (-v524)
    v540 = (-v525)
    v541 = (v28 * v446)
    v542 = (v28 * v447)
    v543 = (v13 * v28)
    v544 = (v14 * v28)
    v546 = (-(1.0 / v432))
    v547 = (tension_front_lower_link * v546)
    v549 = (-(1.0 / v439))
    v550 = (tension_front_upper_link * v549)
    v551 = (-v103)
    v552 = (-v104)
    v553 = (-v551)
    v554 = (v145 / v160)
    v555 = (v156 / v160)
    v558 = ((v446 * v554) + (v9 * v555))
    v561 = ((v446 * v555) + (v447 * v554))
    v564 = ((v552 * v555) + (v103 * v554))
    v567 = ((v553 * v555) + (v104 * v554))
    v572 = (front_spring_rate / v160)
    v573 = (1.0 if v167 > 0.0 else 0.0)
    v576 = ((front_stop_stiffness * v573) * (1.0 if v165 > 0.0 else 0.0))
    v577 = (v576 / v160)
    v578 = (1.0 if v176 > 0.0 else 0.0)
    v581 = ((front_stop_stiffness * v578) * (1.0 if v174 > 0.0 else 0.0))
    v582 = (v581 / v160)
    v583 = (v171 / v160)
    v587 = (((v175 * v578) - (v166 * v573)) / v160)
    v590 = (-(v179 / (v160 * v160)))
    v593 = (((front_spring_rate + v576) + v581) / v160)
    v596 = ((v558 * v590) + ((-v558) * v593))
    v599 = ((v561 * v590) + ((-v561) * v593))
    v602 = ((v564 * v590) + ((-v564) * v593))
    v605 = ((v567 * v590) + ((-v567) * v593))
    v606 = (v180 * v446)
    v608 = (v606 + (v145 * v596))
    v611 = ((v180 * v447) + (v145 * v599))
    v614 = ((v145 * v602) + (v103 * v180))
    v617 = ((v145 * v605) + (v104 * v180))
    v618 = (v145 * v572)
    v619 = (v145 * v577)
    v620 = (v145 * v582)
    v621 = (v145 * v583)
    v622 = (v145 * v587)
    v623 = (v117 * v446)
    v624 = (v117 * v447)
    v625 = (v103 * v117)
    v626 = (v104 * v117)
    v627 = (v113 * v547)
    v628 = (v133 * v446)
    v629 = (v133 * v447)
    v630 = (v103 * v133)
    v631 = (v104 * v133)
    v632 = (v129 * v550)
    v633 = (-v608)
    v634 = (-v611)
    v635 = (-v614)
    v636 = (-v617)
    v637 = (-v618)
    v638 = (-v619)
    v639 = (-v620)
    v640 = (-v621)
    v641 = (-v622)
    v644 = ((v68 * v499) + (v9 * v92))
    v646 = (v509 + (v68 * v502))
    v649 = ((v92 * v455) + (v68 * v505))
    v652 = ((v92 * v456) + (v68 * v508))
    v653 = (v68 * v475)
    v654 = (v68 * v480)
    v655 = (v68 * v485)
    v656 = (v68 * v486)
    v657 = (v68 * v490)
    v658 = (v194 * v450)
    v659 = (v202 * v453)
    v660 = (v9 * v28)
    v661 = (v28 * v455)
    v662 = (v28 * v456)
    v663 = (v9 * v44)
    v664 = (v44 * v455)
    v665 = (v44 * v456)
    v666 = (-v644)
    v667 = (-v646)
    v668 = (-v649)
    v669 = (-v652)
    v670 = (-v653)
    v671 = (-v654)
    v672 = (-v655)
    v673 = (-v656)
    v674 = (-v657)
    v677 = ((v156 * v596) + (v9 * v180))
    v679 = (v606 + (v156 * v599))
    v682 = ((v180 * v552) + (v156 * v602))
    v685 = ((v180 * v553) + (v156 * v605))
    v686 = (v156 * v572)
    v687 = (v156 * v577)
    v688 = (v156 * v582)
    v689 = (v156 * v583)
    v690 = (v156 * v587)
    v691 = (v215 * v547)
    v692 = (v223 * v550)
    v693 = (v9 * v117)
    v694 = (v117 * v552)
    v695 = (v117 * v553)
    v696 = (v9 * v133)
    v697 = (v133 * v552)
    v698 = (v133 * v553)
    v699 = (-v677)
    v700 = (-v679)
    v701 = (-v682)
    v702 = (-v685)
    v703 = (-v686)
    v704 = (-v687)
    v705 = (-v688)
    v706 = (-v689)
    v707 = (-v690)
    v708 = (v215 * v546)
    v709 = (v9 * v115)
    v710 = (v115 * v446)
    v711 = (v115 * v552)
    v712 = (v115 * v553)
    v713 = (v115 * v447)
    v714 = (v103 * v115)
    v715 = (v104 * v115)
    v716 = (v113 * v546)
    v717 = (v223 * v549)
    v718 = (v9 * v131)
    v719 = (v131 * v446)
    v720 = (v131 * v552)
    v721 = (v131 * v553)
    v722 = (v131 * v447)
    v723 = (v103 * v131)
    v724 = (v104 * v131)
    v725 = (v129 * v549)
    v726 = (v194 * v449)
    v727 = (v9 * v26)
    v728 = (v26 * v446)
    v729 = (v26 * v455)
    v730 = (v26 * v456)
    v731 = (v23 * v449)
    v732 = (v26 * v447)
    v733 = (v13 * v26)
    v734 = (v14 * v26)
    v735 = (v202 * v452)
    v736 = (v9 * v42)
    v737 = (v42 * v446)
    v738 = (v42 * v455)
    v739 = (v42 * v456)
    v740 = (v42 * v447)
    v741 = (v13 * v42)
    v742 = (v14 * v42)
    v743 = (v40 * v452)
    v744 = (v255 * v255)
    v746 = (1.0 - (v260 * v260))
    v755 = ((spin_speed * v746) / v255)
    v758 = (v14 * rear_tyre_stiffness)
    v759 = (rear_tyre_stiffness * v454)
    v763 = (((v262 * grip_factor) * rear_driven) * rear_grip)
    v766 = (((v260 * grip_factor) * rear_driven) * rear_grip)
    v767 = ((-(((v248 * v258) * v746) / v744)) * v763)
    v768 = ((-((v258 * v746) / v744)) * v763)
    v769 = ((v455 * v755) * v763)
    v772 = ((v13 * v755) * v763)
    v777 = (v285 * v285)
    v779 = (1.0 - (v291 * v291))
    v783 = (-(((v248 * v289) * v779) / v777))
    v786 = (-((v289 * v779) / v777))
    v788 = ((v287 * v779) / v285)
    v791 = (((spin_speed * spin_ratio) * v779) / v285)
    v792 = (v552 * v791)
    v793 = (v103 * v791)
    v794 = (v104 * front_tyre_stiffness)
    v795 = (front_tyre_stiffness * v551)
    v799 = (((grip_factor * v293) * front_driven) * front_grip)
    v801 = ((v296 * front_driven) * front_grip)
    v813 = (-sin(grade))
    v814 = (gravity * v813)
    v816 = (-cos(grade))
    v817 = (gravity * v816)
    v833 = (tension_rear_upper_link * v235)
    v834 = (-v833)
    v835 = (-v93)
    v836 = (tension_rear_lower_link * v233)
    v837 = (-v836)
    v838 = (tension_front_lower_link * v229)
    v839 = (-v838)
    v840 = (tension_front_upper_link * v231)
    v841 = (-v840)
    v842 = (-v181)
    v843 = (tension_rear_lower_link * v234)
    v844 = (tension_rear_upper_link * v236)
    v845 = (tension_front_lower_link * v230)
    v846 = (tension_front_upper_link * v232)
    v849 = (tension_front_lower_link * ((-v99) - v101))
    v851 = (tension_front_lower_link * (v208 - v212))
    v854 = (tension_front_upper_link * ((-v119) - v121))
    v856 = (tension_front_upper_link * (v216 - v220))
    v859 = (tension_rear_lower_link * ((-v8) - v11))
    v861 = (tension_rear_lower_link * (v187 - v191))
    v864 = (tension_rear_upper_link * ((-v30) - v32))
    v866 = (tension_rear_upper_link * (v195 - v199))
    v1030 = ((((v260 * rear_tyre_stiffness) * grip_factor) * rear_driven) * rear_grip)
    v1032 = (-v527)
    v1046 = (-v541)
    v1077 = (-v203)
    v1078 = (-v60)
    v1079 = (-v53)
    v1080 = (v19 * tension_rear_lower_link)
    v1081 = (tension_rear_lower_link * v190)
    v1082 = (v37 * tension_rear_upper_link)
    v1083 = (tension_rear_upper_link * v198)
    v1084 = (-(v268 * rear_grip))
    v1086 = ((-v243) - v251)
    v1199 = (((v296 * front_tyre_stiffness) * front_driven) * front_grip)
    v1202 = (((v384 * front_tyre_stiffness) * front_driven) * front_grip)
    v1212 = (-v623)
    v1217 = (-v628)
    v1254 = (-(v298 * front_grip))
    v1256 = ((-v276) - v281)
    v1257 = (-v224)
    v1258 = (-v149)
    v1259 = (-v142)
    v1260 = (v109 * tension_front_lower_link)
    v1261 = (tension_front_lower_link * v211)
    v1262 = (v126 * tension_front_upper_link)
    v1263 = (tension_front_upper_link * v219)
    v1378 = (-v233)
    v1379 = (-v234)
    v1395 = (-v236)
    v1401 = (-v235)
    v1417 = (-v230)
    v1423 = (-v229)
    v1439 = (-v232)
    v1445 = (-v231)
    return (0.0, 0.0, v814, 0.0, 0.0, 0.0, v637, 0.0, v638, v625, v626, v623, v624, v627, 0.0, 0.0, v635,
        v636, v633, v634, v639, 0.0, 0.0, v640, 0.0, v641, 0.0, 0.0, 0.0, v630, v631, v628, v629, v632, 0.0,
        0.0, 0.0, (chassis_mass * v813), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        v536, 0.0, 0.0, v537, v543, v544, v541, v542, v526, 0.0, 0.0, v534, v535, v532, v533, v538, 0.0, 0.0,
        v539, 0.0, v540, 0.0, 0.0, 0.0, v529, v530, v527, v528, v531, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v817,
        0.0, 0.0, 0.0, v703, 0.0, v704, v694, v695, v693, v623, v691, 0.0, 0.0, v701, v702, v699, v700, v705,
        0.0, 0.0, v706, 0.0, v707, 0.0, 0.0, 0.0, v697, v698, v696, v628, v692, 0.0, 0.0, 0.0,
        (chassis_mass * v816), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, v670, 0.0,
        0.0, v671, v661, v662, v660, v541, v658, 0.0, 0.0, v668, v669, v666, v667, v672, 0.0, 0.0, v673, 0.0,
        v674, 0.0, 0.0, 0.0, v664, v665, v663, v527, v659, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        ((v154 * v618) + (v338 * v686)), 0.0, ((v154 * v619) + (v338 * v687)),
        ((v711 * v849) + (v714 * v851)), ((v712 * v849) + (v715 * v851)),
        ((((-((v9 * tension_front_lower_link) * v230)) + (v6 * v839)) + (v709 * v849)) + (v710 * v851)),
        ((((v6 * v845) + (v710 * v849)) + (v713 * v851)) + (v9 * v839)), ((v708 * v849) + (v716 * v851)),
        0.0, 0.0, ((v154 * v614) + (v338 * v682)), ((v154 * v617) + (v338 * v685)),
        ((((v9 * v181) + (v6 * v224)) + (v154 * v608)) + (v338 * v677)),
        ((((v6 * v842) + (v154 * v611)) + (v338 * v679)) + (v9 * v224)), ((v154 * v620) + (v338 * v688)),
        0.0, 0.0, ((v154 * v621) + (v338 * v689)), 0.0, ((v154 * v622) + (v338 * v690)), 0.0, 0.0, 0.0,
        ((v720 * v854) + (v723 * v856)), ((v721 * v854) + (v724 * v856)),
        ((((-((v9 * tension_front_upper_link) * v232)) + (v6 * v841)) + (v718 * v854)) + (v719 * v856)),
        ((((v6 * v846) + (v719 * v854)) + (v722 * v856)) + (v9 * v841)), ((v717 * v854) + (v725 * v856)),
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        ((v66 * v521) + (v336 * v653)), 0.0, 0.0, ((v66 * v522) + (v336 * v654)),
        ((v729 * v859) + (v733 * v861)), ((v730 * v859) + (v734 * v861)),
        ((((-((v9 * tension_rear_lower_link) * v234)) + (v6 * v837)) + (v727 * v859)) + (v728 * v861)),
        ((((v6 * v843) + (v728 * v859)) + (v732 * v861)) + (v9 * v837)), ((v726 * v859) + (v731 * v861)),
        0.0, 0.0, ((v66 * v517) + (v336 * v649)), ((v66 * v520) + (v336 * v652)),
        ((((v9 * v93) + (v66 * v511)) + (v6 * v203)) + (v336 * v644)),
        ((((v66 * v514) + (v6 * v835)) + (v336 * v646)) + (v9 * v203)), ((v66 * v523) + (v336 * v655)), 0.0,
        0.0, ((v66 * v524) + (v336 * v656)), 0.0, ((v66 * v525) + (v336 * v657)), 0.0, 0.0, 0.0,
        ((v738 * v864) + (v741 * v866)), ((v739 * v864) + (v742 * v866)),
        ((((-((v9 * tension_rear_upper_link) * v236)) + (v6 * v834)) + (v736 * v864)) + (v737 * v866)),
        ((((v6 * v844) + (v737 * v864)) + (v740 * v866)) + (v9 * v834)), ((v735 * v864) + (v743 * v866)),
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, (rear_mass * v813), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        (v350 * rear_grip), (-v536), (v350 * rear_driven), 0.0, (-v537), (-v543), (-v544), v1046, (-v542),
        (-v526), v814, 0.0, (-v534), (-v535), (-v532), (-v533), (-v538), v767, v768, (-v539), 0.0, (-v540),
        0.0, v1030, (((v348 * grip_factor) * rear_driven) * rear_grip), (-v529), (-v530), v1032, (-v528),
        (-v531), (v769 + (v14 * v1030)), (v772 + (v454 * v1030)), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (rear_mass * v816), 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (-v670), 0.0, 0.0, (-v671), (-v661), (-v662), (-v660), v1046,
        (-v658), v817, 0.0, (-v668), (-v669), (-v666), (-v667), (-v672), 0.0, 0.0, (-v673), 0.0, (-v674),
        0.0, rear_tyre_stiffness, v246, (-v664), (-v665), (-v663), v1032, (-v659), v758, v759, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
        0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v267 * rear_grip) * v1086),
        ((v521 * v1078) + (v653 * v1079)), (v268 * v1086), 1.0, ((v522 * v1078) + (v654 * v1079)),
        ((((v729 * v1080) + (v733 * v1081)) + (v14 * v843)) + (v13 * v836)),
        ((((v454 * v843) + (v730 * v1080)) + (v734 * v1081)) + (v14 * v836)),
        ((v727 * v1080) + (v728 * v1081)), ((v728 * v1080) + (v732 * v1081)),
        ((v726 * v1080) + (v731 * v1081)), 0.0, 0.0,
        ((((v517 * v1078) + (v649 * v1079)) + (v14 * v835)) + (v13 * v1077)),
        ((((v454 * v835) + (v520 * v1078)) + (v652 * v1079)) + (v14 * v1077)),
        ((v511 * v1078) + (v644 * v1079)), ((v514 * v1078) + (v646 * v1079)),
        ((v523 * v1078) + (v655 * v1079)), (v767 * v1086), (v768 * v1086), ((v524 * v1078) + (v656 * v1079)),
        0.0, ((v525 * v1078) + (v657 * v1079)), 0.0,
        ((rear_tyre_stiffness * v370) + ((rear_tyre_stiffness * v766) * v1086)),
        (((v246 * v766) * v1086) + (v246 * v370)),
        ((((v738 * v1082) + (v741 * v1083)) + (v14 * v844)) + (v13 * v833)),
        ((((v454 * v844) + (v739 * v1082)) + (v742 * v1083)) + (v14 * v833)),
        ((v736 * v1082) + (v737 * v1083)), ((v737 * v1082) + (v740 * v1083)),
        ((v735 * v1082) + (v743 * v1083)),
        (((((-(v13 * v262)) + (v455 * v1084)) + (v370 * v758)) + ((v769 + (v758 * v766)) * v1086)) + (v14 * v1084)), (((((-(v14 * v262)) + (v454 * v1084)) + (v370 * v759)) + ((v772 + (v759 * v766)) * v1086)) + (v13 * v1084)), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (v386 * front_grip), (-v637), (v386 * front_driven), (-v638), (-v625), (-v626), v1212, (-v624), (-v627), v814, 0.0, (-v635), (-v636), (-v633), (-v634), (-v639), (v783 * v1202), (v786 * v1202), (-v640), 0.0, (-v641), 0.0, v1199, ((v385 * front_driven) * front_grip), (-v630), (-v631), v1217, (-v629), (-v632), ((v792 * v1202) + (v104 * v1199)), ((v551 * v1199) + (v793 * v1202)), 0.0, (front_mass * v813), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (v788 * v1202), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, (-v703), 0.0, (-v704), (-v694), (-v695), (-v693), v1212, (-v691), v817, 0.0, (-v701), (-v702), (-v699), (-v700), (-v705), 0.0, 0.0, (-v706), 0.0, (-v707), 0.0, front_tyre_stiffness, v279, (-v697), (-v698), (-v696), v1217, (-v692), v794, v795, 0.0, (front_mass * v816), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v297 * front_grip) * v1256), ((v618 * v1258) + (v686 * v1259)), (v298 * v1256), ((v619 * v1258) + (v687 * v1259)), ((((v711 * v1260) + (v714 * v1261)) + (v103 * v838)) + (v104 * v845)), ((((v551 * v845) + (v712 * v1260)) + (v715 * v1261)) + (v104 * v838)), ((v709 * v1260) + (v710 * v1261)), ((v710 * v1260) + (v713 * v1261)), ((v708 * v1260) + (v716 * v1261)), 0.0, 0.0, ((((v614 * v1258) + (v682 * v1259)) + (v103 * v1257)) + (v104 * v842)), ((((v551 * v842) + (v617 * v1258)) + (v685 * v1259)) + (v104 * v1257)), ((v608 * v1258) + (v677 * v1259)), ((v611 * v1258) + (v679 * v1259)), ((v620 * v1258) + (v688 * v1259)), ((v783 * v799) * v1256), ((v786 * v799) * v1256), ((v621 * v1258) + (v689 * v1259)), 0.0, ((v622 * v1258) + (v690 * v1259)), 0.0, ((front_tyre_stiffness * v405) + ((front_tyre_stiffness * v801) * v1256)), ((v279 * v405) + ((v279 * v801) * v1256)), ((((v720 * v1262) + (v723 * v1263)) + (v103 * v840)) + (v104 * v846)), ((((v551 * v846) + (v721 * v1262)) + (v724 * v1263)) + (v104 * v840)), ((v718 * v1262) + (v719 * v1263)), ((v719 * v1262) + (v722 * v1263)), ((v717 * v1262) + (v725 * v1263)), (((((-(v103 * v293)) + (v552 * v1254)) + (v405 * v794)) + (v104 * v1254)) + (((v792 * v799) + (v794 * v801)) * v1256)), (((((-(v104 * v293)) + (v551 * v1254)) + (v103 * v1254)) + (v405 * v795)) + (((v793 * v799) + (v795 * v801)) * v1256)), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v788 * v799) * v1256), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v455 * v1378) + (v13 * v1379)), ((v456 * v1378) + (v14 * v1379)), ((v446 * v1379) + (v9 * v1378)), ((v446 * v1378) + (v447 * v1379)), ((rear_lower_link_length * v26) + (v449 * (((0.5 * v418) - (0.5 * (v194 * v194))) - (0.5 * (v23 * v23))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v455 * v1401) + (v13 * v1395)), ((v456 * v1401) + (v14 * v1395)), ((v446 * v1395) + (v9 * v1401)), ((v446 * v1401) + (v447 * v1395)), ((rear_upper_link_length * v42) + (v452 * (((0.5 * v425) - (0.5 * (v40 * v40))) - (0.5 * (v202 * v202))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v552 * v1423) + (v103 * v1417)), ((v553 * v1423) + (v104 * v1417)), ((v446 * v1417) + (v9 * v1423)), ((v446 * v1423) + (v447 * v1417)), ((front_lower_link_length * v115) + (v546 * (((0.5 * v432) - (0.5 * (v113 * v113))) - (0.5 * (v215 * v215))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, ((v552 * v1445) + (v103 * v1439)), ((v553 * v1445) + (v104 * v1439)), ((v446 * v1439) + (v9 * v1445)), ((v446 * v1445) + (v447 * v1439)), ((front_upper_link_length * v131) + (v549 * (((0.5 * v439) - (0.5 * (v129 * v129))) - (0.5 * (v223 * v223))))), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0,)
