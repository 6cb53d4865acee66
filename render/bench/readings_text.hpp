// Readings as text: the file with blanks that a person fills in, and what is told of one that is filled in.
#pragma once
#include <string>

#include "checker/bench/taken_readings.hpp"

namespace loomward {

// In the style of the language (parser/readings/readings.hpp), one line a reading, `_` for each.
std::string blank_readings_text(const PowerUpSheet& sheet, const Results& results);

// What is not as expected, what is bad, and what to measure next. `blanks`: readings that were not taken.
std::string readings_text(const ReadingsReport& report, const PowerUpSheet& sheet, const std::string& path,
                          const std::string& measured, std::size_t blanks, bool color);

// The same for machines; the schema is docs/readings.schema.json.
std::string readings_json(const ReadingsReport& report, const PowerUpSheet& sheet, const std::string& path,
                          const std::string& measured, std::size_t blanks);

// "8.2 mV"; "open".
std::string reading_text(MeterKind meter, double value);
std::string reading_range_text(MeterKind meter,
                               const ReadingRange& range);        // "8 mV to 12 mV"; "above 1 Mohm"
std::string either_text(const std::vector<std::string>& places);  // "W1, W2 or W3"

}  // namespace loomward
