// PDF of the papers: they are pages of HTML, and what lays those out and prints them is a browser.
#pragma once
#include <string>
#include <vector>

namespace loomward::cli {

// Why `command` ("report") writes no PDF to `output` ("cart.pdf"), and the lines to type that make one, ready
// for a shell.
std::string no_pdf_of(const std::string& command, const std::vector<std::string>& files,
                      const std::string& output);

}  // namespace loomward::cli
