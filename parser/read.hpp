// The one door into parser/: text in, harness and mistakes out.
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "parser/harness.hpp"
#include "parser/text/diagnostic.hpp"
#include "parser/text/files.hpp"

namespace loomward {

struct ReadResult {
    // What is done to it as a whole is compiled once, not in every file that knows it.
    ReadResult();
    ~ReadResult();
    ReadResult(const ReadResult&);
    ReadResult(ReadResult&&) noexcept;
    ReadResult& operator=(const ReadResult&);
    ReadResult& operator=(ReadResult&&) noexcept;

    std::shared_ptr<Sources> sources;
    // Sorted by file and place, no two alike; at most 100 a file, after which the last one says how many
    // more.
    std::vector<Diagnostic> mistakes;
    // Present exactly if there are no mistakes.
    std::optional<Harness> harness;
};

// Reads the file at `path` and everything it uses. Never throws on bad input; a file that cannot be
// read is a mistake with id "no-file". Same input, same result.
ReadResult read_harness(const std::string& path, FileReader& files, const ReadOptions& options);

// The same for text already in hand; `path` is what messages call it.
ReadResult read_harness_text(const std::string& path, std::string text, FileReader& files,
                             const ReadOptions& options);

// The canonical layout of one file (docs/language.md, "Layout"), comments kept. nullopt, with the
// mistakes filled, if the text has lexical mistakes; then the caller leaves the file alone.
std::optional<std::string> format_text(const std::string& path, const std::string& text,
                                       std::shared_ptr<Sources>& sources, std::vector<Diagnostic>& mistakes);

}  // namespace loomward
