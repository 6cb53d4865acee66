// What the rows of the table of kinds are made of. Internal to parser/.
#pragma once
#include <initializer_list>
#include <string_view>
#include <vector>

#include "parser/language/kinds.hpp"

namespace loomward::rows {

using Rows = std::vector<KindAttribute>;

inline constexpr KindAttribute required(Attr attribute) {
    return {attribute, true, {}, {}};
}
inline constexpr KindAttribute optional(Attr attribute, std::string_view value = {},
                                        std::string_view source = {}) {
    return {attribute, false, value, source};
}

// No fixed value: the reader or the checker works it out, in these words; or what its absence leads to.
inline constexpr KindAttribute worked_out(Attr attribute, std::string_view how) {
    return {attribute, false, {}, how};
}

inline constexpr std::string_view no_source = "no source";
inline constexpr std::string_view a_finding = "missing-data where it matters";
inline constexpr std::string_view no_source_safe = "no source, safe side";

inline Rows joined(std::initializer_list<Rows> lists) {
    Rows all;
    for (const Rows& list : lists) all.insert(all.end(), list.begin(), list.end());
    return all;
}

// What every kind takes, and what the placed, the marked and the screwed ones take besides.
// (Functions, so that the table may be asked for while globals are still being made.)
inline Rows any() {
    return {optional("note"_attr), optional("doubt"_attr), optional("order"_attr)};
}
inline Rows placed() {
    return joined({any(), {optional("at"_attr)}});
}
inline Rows marked() {
    return joined({placed(), {optional("marks"_attr), optional("spare"_attr)}});
}
inline Rows screwed() {
    return joined({marked(), {optional("torque"_attr)}});
}

inline Rows switching() {
    return {required("carries"_attr), required("breaks"_attr), worked_out("makes"_attr, a_finding),
            optional("withstands"_attr), optional("resistance"_attr, "1 mohm", no_source)};
}
inline constexpr std::string_view in_reach = "in reach, unless other parts say `hand`";
inline Rows worked_by_hand() {
    return {worked_out("stop"_attr, "a stop where it has `rest closed` in the loop of a coil"),
            worked_out("hand"_attr, in_reach)};
}
inline Rows coil() {
    return {required("coil"_attr),
            worked_out("coil-works"_attr, "85..110 % of the rated voltage, IEC 60947-4-1 (memory)"),
            worked_out("suppression"_attr, a_finding)};
}
// Of electronics that work: what heats them, how it leaves, and what they do when they are hot.
inline Rows heated(std::string_view losses) {
    return {worked_out("losses"_attr, losses),
            worked_out("thermal-resistance"_attr, "from its rise, else an estimate by size and mounting"),
            optional("rise"_attr),
            worked_out("mounting"_attr, "stood off, safe side, where its size is known"),
            optional("size"_attr),
            optional("wall"_attr, "bare", no_source_safe),
            worked_out("time-constant"_attr, "1 to 5 min, no source"),
            optional("gives-less-from"_attr),
            optional("cuts-out-at"_attr),
            optional("highest-ambient"_attr)};
}
inline Rows leads_in_a_lay() {
    return {
        worked_out("insulation"_attr, "that of the harness, else pvc 70 degC, the lowest of IEC 60364-5-52"),
        optional("material"_attr, "copper", no_source),
        worked_out("outer-diameter"_attr, "by its size (memory)"), optional("in"_attr),
        optional("along"_attr)};
}

inline std::vector<AttributeGroup> own_band_or_family() {
    return {{"its family", {"curve"_attr}}, {"its own points", {"point"_attr}}};
}

std::vector<KindInfo> sources_and_devices();
std::vector<KindInfo> contacts_and_joints();
std::vector<KindInfo> loads_and_converters();
std::vector<KindInfo> wires_and_surroundings();

}  // namespace loomward::rows
