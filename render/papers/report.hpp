// The report: one HTML file that the owner of a harness keeps.
#pragma once
#include <string>
#include <vector>

#include "checker/bench/run_study.hpp"
#include "checker/bench/taken_readings.hpp"
#include "checker/mend/mend.hpp"
#include "checker/papers/papers.hpp"
#include "checker/results.hpp"
#include "parser/text/diagnostic.hpp"

namespace loomward {

struct ReportPaper {
    std::string path;     // as the user named the file
    std::string version;  // of the program
    const Results* results = nullptr;
    const Papers* papers = nullptr;
    const Mended* mended = nullptr;              // what was tried; nullptr: nothing was
    const ComparedReadings* readings = nullptr;  // what a meter showed, without mistakes; nullptr: nothing
    const PowerUpSheet* sheet = nullptr;         // that the readings belong to
    const std::vector<ComparedRun>* runs = nullptr;  // logs without mistakes and trouble; nullptr: none
};

std::string report_html(const ReportPaper& paper);

// Of a text with mistakes: those alone, and that nothing can be said.
std::string mistakes_report_html(const std::string& path, const std::string& version,
                                 const std::vector<Diagnostic>& mistakes, const Sources& sources);

}  // namespace loomward
