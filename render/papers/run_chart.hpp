// The log of a run as SVG: what flowed, what was lost, how warm it got, one panel each over one scale of
// time.
#pragma once
#include "checker/bench/run_study.hpp"
#include "render/html/html.hpp"

namespace loomward {

// Of a log without mistakes. Lines of what is not as expected are red; broken lines are what the mode asks or
// what the file explains at most. Colours are those of the page. However long the log is, a line has no more
// than four points for each unit of its width, and peaks stay. Nothing where the report judges no column.
Html run_chart(const ComparedRun& run);

}  // namespace loomward
