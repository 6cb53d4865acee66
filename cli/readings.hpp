// Readings from a file, for the commands that take some.
#pragma once
#include <optional>
#include <string>

#include "cli/examined.hpp"

namespace loomward::cli {

// The readings in a file against the session's sheet. nullopt: the file could not be read or has mistakes,
// which is said.
std::optional<ComparedReadings> compared_readings(const Session& session, const std::string& measured,
                                                  bool color);

// The log of a run in a file against a mode of the session's harness. nullopt: the same, or there is no such
// mode.
std::optional<ComparedRun> compared_run(const Session& session, const std::string& log,
                                        const std::string& mode, bool color);

}  // namespace loomward::cli
