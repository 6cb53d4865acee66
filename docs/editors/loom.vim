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
syn keyword loomAttribute acts-as aged-resistance air along ambient at bleed breaks bridge capacitance
syn keyword loomAttribute capacity carries cell-capacity cell-resistance cell-voltage cells chain charge
syn keyword loomAttribute charge-at charge-trips charges clears coil coil-works contact contact-resistance
syn keyword loomAttribute contacts continuous-fuse-load core cores curve cuts-out-at discharge
syn keyword loomAttribute discharge-at doubt drives drop efficiency ends estimate-spread feed
syn keyword loomAttribute gives-less-from half hand highest-ambient holder hottest-conductor in input
syn keyword loomAttribute inrush instantaneous insulation joint-resistance latching leads length limit
syn keyword loomAttribute link-resistance live-when-unmated-above losses makes marks mass mate material
syn keyword loomAttribute maximum-series-fuse melts method mounting negative nominal note
syn keyword loomAttribute open-circuit-voltage opening-time order outer-diameter output panel-current
syn keyword loomAttribute panel-input parallel peak phase-limit phase-peak phases pin point polarised
syn keyword loomAttribute poles ports position precharge-to precharges pulse rated-at regen repeat reset
syn keyword loomAttribute resistance rest reverse revision rise serves short-circuit short-circuit-current
syn keyword loomAttribute side signal-current size spare stall standby stop studs supply-at supply-limit
syn keyword loomAttribute suppression takes taps task terminals thermal-resistance time-constant torque
syn keyword loomAttribute trips unprotected-length vents voltage voltage-drop wall way-carries ways
syn keyword loomAttribute withstands works wrap
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
