#include "render/csv/schedules_csv.hpp"

#include <fmt/format.h>

#include "render/csv/csv.hpp"

namespace loomward {
namespace {

using Rows = std::vector<std::vector<std::string>>;

// The shortest text that reads back as the same number.
std::string figure(double value) {
    return fmt::format("{}", value);
}
std::string figure(const std::optional<double>& value) {
    return value ? figure(*value) : std::string();
}
std::string joined(const std::vector<std::string>& texts) {
    return fmt::format("{}", fmt::join(texts, " "));
}
std::string metal(bool aluminium) {
    return aluminium ? "aluminium" : "copper";
}
std::string names_of(const std::vector<WireId>& wires, const Harness& harness) {
    std::vector<std::string> names;
    for (const WireId wire : wires) names.emplace_back(harness.wire(wire).name);
    return joined(names);
}

CsvFile wires_csv(const Schedules& schedules) {
    Rows rows;
    for (const WireEntry& wire : schedules.wires)
        rows.push_back({wire.name,
                        wire.from,
                        wire.to,
                        wire.size,
                        figure(wire.area_mm2),
                        fmt::format("{}", wire.parallel),
                        wire.colour,
                        wire.insulation,
                        metal(wire.aluminium),
                        figure(wire.length_m),
                        figure(wire.cut_m),
                        wire.end_from,
                        wire.end_to,
                        wire.cable,
                        joined(wire.bundles),
                        figure(wire.least_ohm),
                        figure(wire.most_ohm),
                        figure(wire.metal_kg),
                        wire.order,
                        wire.note});
    return {"wires.csv", csv_text({{"wire",
                                    "from",
                                    "to",
                                    "size",
                                    "area_mm2",
                                    "side_by_side",
                                    "colour",
                                    "insulation",
                                    "conductor",
                                    "length_m",
                                    "cut_to_m",
                                    "end_at_from",
                                    "end_at_to",
                                    "cable",
                                    "bundles",
                                    "least_ohm_20degC",
                                    "most_ohm_20degC",
                                    "conductor_kg",
                                    "order",
                                    "note"},
                                   rows})};
}

CsvFile reels_csv(const Schedules& schedules) {
    Rows rows;
    std::size_t pieces = 0, unknown = 0;
    double cut_m = 0, metal_kg = 0;
    for (const ReelTotal& reel : schedules.reels) {
        rows.push_back({reel.size, figure(reel.area_mm2), reel.colour, reel.insulation, metal(reel.aluminium),
                        fmt::format("{}", reel.pieces), figure(reel.cut_m), figure(reel.metal_kg),
                        fmt::format("{}", reel.unknown)});
        pieces += reel.pieces;
        unknown += reel.unknown;
        cut_m += reel.cut_m;
        metal_kg += reel.metal_kg;
    }
    rows.push_back({"total", "", "", "", "", fmt::format("{}", pieces), figure(cut_m), figure(metal_kg),
                    fmt::format("{}", unknown)});
    return {"reels.csv", csv_text({{"size", "area_mm2", "colour", "insulation", "conductor", "pieces",
                                    "cut_m", "conductor_kg", "pieces_of_unknown_length"},
                                   rows})};
}

CsvFile fuses_csv(const Schedules& schedules) {
    Rows rows;
    for (const FuseEntry& fuse : schedules.fuses)
        rows.push_back({fuse.name, fuse.label, fuse.kind, fuse.holder, figure(fuse.rated_A),
                        figure(fuse.rated_V), figure(fuse.breaks_A), fuse.breaks, figure(fuse.short_here_A),
                        fuse.curve, figure(fuse.torque_Nm), fuse.order, fuse.note});
    return {"fuses.csv", csv_text({{"part", "label", "kind", "sits_in", "rated_A", "rated_V", "breaks_A",
                                    "breaks", "short_here_most_A", "family", "torque_Nm", "order", "note"},
                                   rows})};
}

CsvFile contacts_csv(const Schedules& schedules, const Harness& harness) {
    Rows rows;
    for (const ContactEntry& contact : schedules.contacts)
        rows.push_back({std::string(harness.part(contact.connector).name),
                        std::string(harness.part(contact.connector).label), contact.contact, contact.terminal,
                        names_of(contact.wires, harness), contact.mate, names_of(contact.mate_wires, harness),
                        figure(contact.worst_A), figure(contact.may_A), contact.spare ? "yes" : "no"});
    return {"contacts.csv", csv_text({{"connector", "label", "contact", "terminal", "wires", "mates_with",
                                       "wires_there", "carries_worst_A", "may_carry_A", "spare"},
                                      rows})};
}

CsvFile labels_csv(const Schedules& schedules) {
    Rows rows;
    for (const LabelEntry& label : schedules.labels)
        rows.push_back({label.text, label.here, label.there, label.size, label.colour});
    return {"labels.csv", csv_text({{"wire", "this_end", "other_end", "size", "colour"}, rows})};
}

CsvFile materials_csv(const Schedules& schedules) {
    Rows rows;
    for (const MaterialEntry& entry : schedules.materials)
        rows.push_back({fmt::format("{}", entry.amount), entry.kind, entry.type, entry.ratings, entry.order,
                        joined(entry.names)});
    return {"materials.csv", csv_text({{"amount", "kind", "type", "as_stated", "order", "for"}, rows})};
}

CsvFile torques_csv(const Schedules& schedules) {
    Rows rows;
    for (const TorqueEntry& entry : schedules.torques)
        rows.push_back({entry.name, entry.label, joined(entry.terminals),
                        entry.torque ? figure(entry.torque->lo) : "",
                        entry.torque ? figure(entry.torque->hi) : ""});
    return {"torques.csv",
            csv_text({{"part", "label", "terminals", "least_torque_Nm", "most_torque_Nm"}, rows})};
}

}  // namespace

std::vector<CsvFile> schedules_csv(const Schedules& schedules, const Harness& harness) {
    return {wires_csv(schedules),  reels_csv(schedules),
            fuses_csv(schedules),  contacts_csv(schedules, harness),
            labels_csv(schedules), materials_csv(schedules),
            torques_csv(schedules)};
}

}  // namespace loomward
