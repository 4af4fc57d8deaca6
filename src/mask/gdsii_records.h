// The GDSII stream format, as far as holes need it: a file is a row of records, each with its length (16 bits, the four
// bytes of length and type included), a type, a data kind and data, all big-endian. Written from memory of the
// published format description; tests hold it against an independent reader and writer.
#pragma once

namespace tymbal::gdsii::record {

// Type and data kind as they stand in the file, two bytes.
inline constexpr unsigned header = 0x0002;
inline constexpr unsigned begin_library = 0x0102;
inline constexpr unsigned library_name = 0x0206;
inline constexpr unsigned units = 0x0305;
inline constexpr unsigned end_library = 0x0400;
inline constexpr unsigned begin_cell = 0x0502;
inline constexpr unsigned cell_name = 0x0606;
inline constexpr unsigned end_cell = 0x0700;
inline constexpr unsigned boundary = 0x0800;
inline constexpr unsigned path = 0x0900;
inline constexpr unsigned reference = 0x0A00;
inline constexpr unsigned array = 0x0B00;
inline constexpr unsigned text = 0x0C00;
inline constexpr unsigned node = 0x1500;
inline constexpr unsigned box = 0x2D00;
inline constexpr unsigned layer = 0x0D02;
inline constexpr unsigned data_type = 0x0E02;
inline constexpr unsigned coordinates = 0x1003;
inline constexpr unsigned end_element = 0x1100;
inline constexpr unsigned referred_name = 0x1206;
inline constexpr unsigned columns_rows = 0x1302;
inline constexpr unsigned transformation = 0x1A01;
inline constexpr unsigned magnification = 0x1B05;
inline constexpr unsigned angle = 0x1C05;

}  // namespace tymbal::gdsii::record
