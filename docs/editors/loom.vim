" Colours of harness files; made from the tables of the language by a test.
" Copy to ~/.vim/syntax/loom.vim, and to ~/.vim/ftdetect/loom.vim the line:
"   au BufRead,BufNewFile *.loom setfiletype loom
if exists("b:current_syntax")
  finish
endif
syn iskeyword @,48-57,_,-
syn keyword loomStatement accept assembly bms breaker bundle busbar cable capacitor change charger
syn keyword loomStatement connector contactor controller converter device diode frame fuse fuse-block
syn keyword loomStatement harness inverter load location loom mode motor pack panel part policy port
syn keyword loomStatement protector relay remove resistor route selector shunt splice stretch stud switch
syn keyword loomStatement terminal-block use variant wire
syn keyword loomAttribute acts-as aged-resistance air along altitude ambient approved-by at bleed breaks
syn keyword loomAttribute bridge capacitance capacity carries cell-capacity cell-resistance cell-voltage
syn keyword loomAttribute cells chain charge charge-at charge-trips charges checked-by clears coil
syn keyword loomAttribute coil-works contact contact-resistance contacts continuous-fuse-load core cores
syn keyword loomAttribute curve cuts-out-at date discharge discharge-at document doubt drawn-by drives
syn keyword loomAttribute drop efficiency ends estimate-spread feed gives-less-from half hand
syn keyword loomAttribute highest-ambient holder hottest-conductor in input inrush instantaneous
syn keyword loomAttribute insulation joint-resistance latching leads legal-owner length limit
syn keyword loomAttribute link-resistance live-when-unmated-above losses makes marks mass mate material
syn keyword loomAttribute maximum-series-fuse melts method mounting negative nominal note
syn keyword loomAttribute open-circuit-voltage opening-time order outer-diameter output panel-current
syn keyword loomAttribute panel-input parallel peak phase-limit phase-peak phases pin point polarised
syn keyword loomAttribute poles ports position precharge-to precharges pulse rated-at regen repeat reset
syn keyword loomAttribute resistance rest reverse revision rise serves short-circuit short-circuit-current
syn keyword loomAttribute side signal-current size spare stall standby state stop studs subtitle supply-at
syn keyword loomAttribute supply-limit suppression takes taps task terminals thermal-resistance
syn keyword loomAttribute time-constant torque trips unprotected-length vents voltage voltage-drop wall
syn keyword loomAttribute way-carries ways withstands works wrap
syn keyword loomColour black blue brown gold green grey orange pink red silver turquoise violet white
syn keyword loomColour yellow
syn keyword loomOpen unknown about
syn match loomComment /#.*$/
syn region loomText start=/"/ skip=/\\./ end=/"/ oneline
syn match loomNumber /\<\d\+\(\.\d\+\)\?\(\.\.-\?\d\+\(\.\d\+\)\?\)\?\>/
hi def link loomStatement Statement
hi def link loomAttribute Identifier
hi def link loomColour Constant
hi def link loomOpen Todo
hi def link loomComment Comment
hi def link loomText String
hi def link loomNumber Number
let b:current_syntax = "loom"
