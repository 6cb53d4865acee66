// Everything that the papers show beyond the results of a check, as plain data: what must be computed is
// computed here, so that report, schedules and JSON cannot disagree.
#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "checker/answers/digest.hpp"
#include "checker/budget/budget.hpp"
#include "checker/papers/device_curves.hpp"
#include "checker/papers/estimate_ends.hpp"
#include "checker/papers/mode_table.hpp"
#include "checker/papers/schedules.hpp"
#include "checker/papers/shorts.hpp"
#include "checker/papers/zone_rows.hpp"
#include "checker/results.hpp"

namespace loomward {

// What only the study of short circuits knows (checker/fault_look.hpp).
struct ShortFacts {
    std::vector<WireShorts> wires;  // by WireId
    CurveFacts curves;
    std::vector<double> short_here_A;  // by PartId: what each device has to break; 0: nothing
};
ShortFacts short_facts(const Results& results, const FaultStudy& study);

// The largest voltage along a wire in any mode, V, and in which.
struct WireDrop {
    double drop_V = 0;
    ModeId mode;  // invalid: no mode was solved
};

struct Papers {
    Digest digest;
    // By finding: its number on the sheet, from 1; 0: it only asks for a value, and has none.
    std::vector<std::size_t> numbers;
    std::vector<std::optional<std::size_t>> cause_of;  // by finding: index into Digest::causes
    Budget budget;
    std::vector<ModeRow> modes;
    std::vector<ModeLimits> limits;
    std::vector<WireDrop> drops;  // by WireId
    std::vector<WireShorts> shorts;
    std::vector<ZoneRow> zones;  // by index into Results::zones
    std::vector<DeviceCurve> curves;
    Schedules schedules;
    std::vector<EstimateEnds> estimates;
    // By PartId, WireId: indices of findings about them, in the order of the findings.
    std::vector<std::vector<std::size_t>> findings_of_part, findings_of_wire;
};

// `facts`: of the same check.
Papers papers_of(const Results& results, const ShortFacts& facts, double allowance = 0);

// How long everything stands each mode, of a check that is over.
std::vector<ModeEndurance> endurance_of(const Results& results);

// As the sheet numbers them.
std::vector<std::size_t> finding_numbers(const Results& results);

}  // namespace loomward
