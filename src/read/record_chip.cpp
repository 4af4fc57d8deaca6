#include "tymbal/read/record_chip.h"

#include "../base/sha256.h"
#include "../text/plain_name.h"

#include "tymbal/base/error.h"
#include "tymbal/read/design.h"
#include "tymbal/task/record.h"
#include "tymbal/text/whole_file.h"

#include <filesystem>

namespace tymbal {

namespace {

std::string name_of(const ChipDesign& chip, const std::string& wanted, bool alone) {
    if (!wanted.empty()) return wanted;
    return alone || chip.title.empty() ? std::filesystem::path(chip.file).stem().string() : chip.title;
}

}  // namespace

RecordedFile kept_file(const std::string& role, const std::string& path) {
    std::string bytes = read_whole(path);
    RecordedFile file{role, path, sha256_hex(bytes), static_cast<std::int64_t>(bytes.size()), {}};
    file.bytes = std::move(bytes);
    return file;
}

RecordedFile named_file(const std::string& role, const std::string& path) {
    RecordedFile file = kept_file(role, path);
    file.bytes.reset();
    return file;
}

RecordAddition chip_addition(const DrawnChip& asked, const std::string& now, const Materials& materials,
                             const ReadLimits& limits) {
    const bool alone = !is_chip_file(asked.file);
    const ChipDesign chip = alone ? chip_of(as_released(read_design(asked.file), materials, limits))
                                  : read_chip(asked.file, materials, limits);
    const std::string called = name_of(chip, asked.name, alone);
    if (const std::string fault = name_fault(called); !fault.empty())
        throw InputError({asked.file, 0}, "name of the chip", fault + "; give it another (name)");
    RecordAddition out = drawn(chip, called);
    for (RecordEntry& e : out.entries) e.date = e.recorded = now;
    RecordEntry& first = out.entries.front();
    if (!asked.wafer.empty()) first.values.push_back({"wafer", asked.wafer, {}, {}, ""});
    for (const auto& [file, role] : files_of(chip)) first.files.push_back(kept_file(role, file));
    return out;
}

}  // namespace tymbal
