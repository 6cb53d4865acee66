// What the tests of laws share: a text to its findings, findings to compare, and how many cases to try. A law
// is a sentence about all harnesses; each test tries it on the examples and on random harnesses.
#pragma once
#include <cstddef>
#include <filesystem>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "checker/results.hpp"
#include "parser/read.hpp"

namespace laws {

using loomward::Finding;
using loomward::Results;
using loomward::Severity;

// The files of examples/ that are checked on their own, with the mistaken one.
std::vector<std::string> example_names();
std::optional<std::string> content(const std::filesystem::path& path);
std::string example_text(const std::string& name);

// Reads; its mistakes, if any, are in the result. Files of examples/ may be used.
loomward::ReadResult read(const std::string& name, const std::string& text);
// nullopt where the text has mistakes.
std::optional<Results> checked(const std::string& name, const std::string& text,
                               const loomward::CheckOptions& options = {});

// While it lives, `checked` gives back findings that a fault has been at: to show that a law would tell of
// it.
class PlantedFault {
  public:
    using Fault = std::function<void(Results&)>;
    explicit PlantedFault(Fault fault);
    ~PlantedFault();
    PlantedFault(const PlantedFault&) = delete;
    PlantedFault& operator=(const PlantedFault&) = delete;
};
// Takes off the errors and warnings of a rule, or of every rule where none is given.
void forget(Results& results, std::string_view rule = {});

// The gravest severity by rule and subject, without what was accepted.
using Verdict = std::map<std::pair<std::string, std::string>, Severity>;
Verdict verdict(const Results& results);
// The same, with what a finding about several names besides: "wires W3, W4 are" is told of both.
Verdict told_of_all(const Results& results);
std::string shown(const Verdict::value_type& entry);  // "error overloaded-wire W3"

// What `before` holds and `after` does not, or holds less gravely.
std::vector<Verdict::value_type> lost(const Verdict& before, const Verdict& after);

// LOOMWARD_CASES in the environment, else `usual`: how many random harnesses or changes a law is tried on.
std::size_t cases(std::size_t usual);
// Writes a text of an exception to LOOMWARD_KEEP/NAME.loom, where that directory is given, to look at.
void keep(const std::string& name, const std::string& text);

// Collects exceptions to a law and counts cases, for one line at the end.
class Tally {
  public:
    explicit Tally(std::string law) : law_(std::move(law)) {}
    ~Tally();  // prints "law: 150 cases, 12 refused, 0 exceptions"
    Tally(const Tally&) = delete;
    Tally& operator=(const Tally&) = delete;

    void tried() { ++tried_; }
    void refused() { ++refused_; }
    void exception(const std::string& text);
    // What to keep the texts of the next exception by: "unknown never helps 3".
    std::string next_name() const { return law_ + " " + std::to_string(exceptions_.size() + 1); }
    std::size_t count() const { return tried_; }
    const std::vector<std::string>& exceptions() const { return exceptions_; }
    std::string all() const;  // the first ones, a line each
    // How many are known and not mended yet (tests/laws/exceptions.txt); none with LOOMWARD_STRICT.
    std::size_t known() const;

  private:
    std::string law_;
    std::size_t tried_ = 0, refused_ = 0;
    std::vector<std::string> exceptions_;
};

}  // namespace laws
