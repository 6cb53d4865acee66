// A text with readings laid beside the sheet that it was written for, and what they come to.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "checker/bench/diagnosis.hpp"
#include "parser/readings/readings.hpp"

namespace loomward {

struct ComparedReadings {
    std::string path;       // of the text, as the user named it
    MeasuredText text;      // with its mistakes: those of a line that belongs to another sheet as well
    ReadingsReport report;  // of nothing where the text has mistakes
    bool as_expected() const { return report.not_as_expected() == 0 && report.bad_joints.empty(); }
};

// `sheet`: of these results. A step that is read twice, or that is another reading on this sheet, is a
// mistake. Air and the voltage at rest are taken from the text where it says them.
ComparedReadings compare_with_sheet(const Results& results, const PowerUpSheet& sheet, std::string path,
                                    MeasuredText text);

// As a text of readings calls what the meter is set to: "ohms".
std::string_view meter_word(MeterKind meter);

}  // namespace loomward
