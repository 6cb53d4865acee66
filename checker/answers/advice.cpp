#include "checker/answers/advice.hpp"

namespace loomward {

OpenCounts open_counts(const Results& results) {
    OpenCounts open;
    for (const Finding& finding : results.findings) {
        if (finding.accepted || !finding.possible) continue;
        const bool asks = finding.asks(), note = finding.severity == Severity::note;
        const bool error = finding.severity == Severity::error;
        ++(note ? open.notes : error ? open.errors : open.warnings);
        if (note) continue;
        if (asks) {
            ++open.asked;
            if (error) ++open.asked_errors;
        } else {
            ++(error ? open.told_errors : open.told_warnings);
        }
    }
    return open;
}

std::size_t told_errors(const Results& results) {
    return results.count(Severity::error) - open_counts(results).asked_errors;
}

Advised advise(const Results& results, const Digest& digest) {
    Advised advised;
    advised.open = open_counts(results);
    advised.errors = results.count(Severity::error) - advised.open.errors;
    advised.warnings = results.count(Severity::warning) - advised.open.warnings;
    advised.advice = advised.errors > 0                                              ? Advice::do_not
                     : !digest.silent.empty()                                        ? Advice::not_looked_at
                     : advised.open.told_errors > 0 || advised.open.asked_errors > 0 ? Advice::find_out_first
                     : advised.warnings > 0                                          ? Advice::only_warnings
                                                                                     : Advice::none_found;
    return advised;
}

}  // namespace loomward
