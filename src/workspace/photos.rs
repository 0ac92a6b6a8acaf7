//! Photos that a log names: found within the repository and nowhere else, made small enough to stand in a page, and freed of what a camera writes into them
//! besides the picture.

use std::io::{BufReader, Cursor, Read as _};
use std::path::{Path, PathBuf};

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use image::codecs::jpeg::JpegEncoder;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder as _, ImageFormat, ImageReader, Limits};

use super::address::between;
use super::discover;

/// The largest file that is opened to be put into a page, in bytes. A camera's photo has a tenth of it.
const MOST_BYTES: u64 = 48 * 1024 * 1024;
/// The largest number of bytes that a picture may take while it is unpacked: a file of a few bytes can ask for all there is.
const MOST_UNPACKED: u64 = 512 * 1024 * 1024;
/// The longer side of a picture in a page, in pixels: enough for the width of a printed page.
const LONGEST: u32 = 1400;
/// Of a picture in a page.
const QUALITY: u8 = 80;

/// How photos come into a report.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum How {
    /// In the page itself, so that it can be sent on.
    #[default]
    Embedded,
    /// As a link beside the page.
    Linked,
    /// Only named.
    Named,
}

impl How {
    /// The same where nothing can be embedded.
    pub fn min_linked(self) -> How {
        match self {
            How::Embedded => How::Linked,
            other => other,
        }
    }
}

/// A photo as a report shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Photo {
    /// A picture that stands in the page.
    Picture {
        /// Its address: `data:image/jpeg;base64,…`.
        data: String,
        /// Its size in pixels.
        size: (u32, u32),
    },
    /// A link, with why it is none of the others where that was wanted.
    Link {
        /// Its address, relative to the page.
        address: String,
        /// Why it is not in the page; empty if it was not to be.
        why: String,
    },
    /// Only its name is shown.
    Name {
        /// Why; empty if nothing else was wanted.
        why: String,
    },
}

/// Where photos are looked for, and where the page will stand.
#[derive(Clone, Debug)]
pub struct Places {
    /// The folder of the log.
    pub log: PathBuf,
    /// The folder of the page; `None` if it goes to standard output, and is taken to stand beside the log.
    pub page: Option<PathBuf>,
}

/// The photo that a log names by a path.
pub fn photo(written: &str, places: &Places, how: How) -> Photo {
    let named = |why: &str| Photo::Name { why: why.to_owned() };
    if how == How::Named {
        return named("");
    }
    let path = match within(written, &places.log) {
        Ok(path) => path,
        Err(why) => return Photo::Name { why },
    };
    let page = places.page.as_deref().unwrap_or(&places.log);
    let link = |why: String| match between(&path, page) {
        Some(address) => Photo::Link { address, why },
        None => Photo::Name { why },
    };
    match how {
        How::Embedded => picture(&path).unwrap_or_else(link),
        How::Linked | How::Named => link(String::new()),
    }
}

/// The file that a path of a log means: relative to the log, and within its repository, links followed.
fn within(written: &str, folder: &Path) -> Result<PathBuf, String> {
    let path = Path::new(written);
    if written.is_empty() {
        return Err("no file is named".to_owned());
    }
    let is_address = written.split_once(':').is_some_and(|(scheme, _)| {
        !scheme.is_empty()
            && scheme
                .chars()
                .all(|c| c.is_ascii_alphanumeric() || matches!(c, '+' | '-' | '.'))
    });
    if path.has_root() || is_address {
        return Err("a photo is named by its path from the log; nothing else is opened".to_owned());
    }
    let folder = folder.canonicalize().map_err(|error| discover::why(&error))?;
    let root = discover::root_of(&folder.join("log"));
    let root = root.canonicalize().unwrap_or(root);
    let found = folder
        .join(path)
        .canonicalize()
        .map_err(|error| discover::why(&error))?;
    if !found.starts_with(&root) {
        return Err("it lies outside the repository of the log, and is not opened".to_owned());
    }
    if !found.is_file() {
        return Err("this is no file".to_owned());
    }
    Ok(found)
}

/// The picture in a file, small enough for a page; or why not.
fn picture(path: &Path) -> Result<Photo, String> {
    let cannot = |error: &std::io::Error| format!("it cannot be read: {}", discover::why(error));
    let length = path.metadata().map_err(|error| cannot(&error))?.len();
    if length > MOST_BYTES {
        return Err(format!("it has {} MB, too many for a page", length / 1_000_000));
    }
    let mut file = discover::open(path)?;
    let mut bytes = Vec::new();
    file.by_ref()
        .take(MOST_BYTES)
        .read_to_end(&mut bytes)
        .map_err(|error| cannot(&error))?;
    let unread = |_| "it is no picture that can be read: JPEG, PNG and WebP can".to_owned();
    let mut reader = ImageReader::new(BufReader::new(Cursor::new(bytes)))
        .with_guessed_format()
        .map_err(|error| cannot(&error))?;
    if !matches!(
        reader.format(),
        Some(ImageFormat::Jpeg | ImageFormat::Png | ImageFormat::WebP)
    ) {
        return Err("it is no picture that can be read: JPEG, PNG and WebP can".to_owned());
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_UNPACKED);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(unread)?;
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let mut picture = DynamicImage::from_decoder(decoder).map_err(unread)?;
    picture.apply_orientation(orientation);
    if picture.width().max(picture.height()) > LONGEST {
        picture = picture.thumbnail(LONGEST, LONGEST);
    }
    // Written anew: where and when a photo was taken is nobody's business but the shop's.
    let picture = picture.into_rgb8();
    let mut small = Vec::new();
    picture
        .write_with_encoder(JpegEncoder::new_with_quality(&mut small, QUALITY))
        .map_err(|error| format!("it cannot be made smaller: {error}"))?;
    Ok(Photo::Picture {
        data: format!("data:image/jpeg;base64,{}", STANDARD.encode(&small)),
        size: picture.dimensions(),
    })
}

#[cfg(test)]
mod tests {
    use std::fs::File;

    use super::*;

    type Done = Result<(), Box<dyn std::error::Error>>;

    /// A repository with a log's folder in it, and a photo of 2000 by 1000 pixels.
    fn repository() -> Result<(tempfile::TempDir, Places), Box<dyn std::error::Error>> {
        let root = tempfile::tempdir()?;
        std::fs::write(root.path().join("gudgeon.toml"), "")?;
        std::fs::create_dir_all(root.path().join("logs/pictures"))?;
        DynamicImage::new_rgb8(2000, 1000).save(root.path().join("logs/pictures/pin flush.png"))?;
        let log = root.path().join("logs");
        Ok((root, Places { log, page: None }))
    }

    fn why(photo: Photo) -> String {
        match photo {
            Photo::Name { why } | Photo::Link { why, .. } => why,
            Photo::Picture { .. } => String::new(),
        }
    }

    #[test]
    fn a_photo_is_made_small_and_stands_in_the_page() -> Done {
        let (_root, places) = repository()?;
        let Photo::Picture { data, size } = photo("pictures/pin flush.png", &places, How::Embedded) else {
            return Err("no picture".into());
        };
        assert_eq!(size, (1400, 700));
        assert!(data.starts_with("data:image/jpeg;base64,/9j/"));
        Ok(())
    }

    #[test]
    fn a_link_leads_from_the_page_to_the_photo() -> Done {
        let (root, mut places) = repository()?;
        places.page = Some(root.path().to_owned());
        let link = photo("pictures/pin flush.png", &places, How::Linked);
        assert_eq!(
            link,
            Photo::Link {
                address: "logs/pictures/pin%20flush.png".to_owned(),
                why: String::new()
            }
        );
        Ok(())
    }

    #[test]
    fn nothing_outside_the_repository_is_opened() -> Done {
        let (root, places) = repository()?;
        let outside = tempfile::NamedTempFile::new()?;
        let up = format!(
            "../../{}",
            outside.path().file_name().and_then(|name| name.to_str()).unwrap_or("")
        );
        assert_eq!(
            why(photo(&up, &places, How::Embedded)),
            "it lies outside the repository of the log, and is not opened"
        );
        let whole = outside.path().to_str().unwrap_or("").to_owned();
        for named in [
            whole.as_str(),
            "file:///etc/hostname",
            "javascript:alert(1)",
            "https://host/a.png",
        ] {
            assert!(
                why(photo(named, &places, How::Linked)).starts_with("a photo is named by its path"),
                "{named}"
            );
        }
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(outside.path(), root.path().join("logs/link.png"))?;
            assert!(why(photo("link.png", &places, How::Embedded)).contains("outside the repository"));
        }
        assert_eq!(why(photo("pictures", &places, How::Embedded)), "this is no file");
        assert!(!why(photo("pictures/none.png", &places, How::Embedded)).is_empty());
        assert_eq!(why(photo("", &places, How::Embedded)), "no file is named");
        Ok(())
    }

    #[test]
    fn a_huge_photo_and_one_that_is_none_are_only_linked() -> Done {
        let (root, places) = repository()?;
        let huge = File::create(root.path().join("logs/huge.jpg"))?;
        huge.set_len(100_000_000)?;
        assert_eq!(
            photo("huge.jpg", &places, How::Embedded),
            Photo::Link {
                address: "huge.jpg".to_owned(),
                why: "it has 100 MB, too many for a page".to_owned()
            }
        );
        std::fs::write(root.path().join("logs/x.svg"), "<svg onload='alert(1)'/>")?;
        assert!(why(photo("x.svg", &places, How::Embedded)).starts_with("it is no picture"));
        // A header that asks for more than there is.
        let mut bomb = std::fs::read(root.path().join("logs/pictures/pin flush.png"))?;
        bomb.splice(16..24, [0x7f, 0xff, 0xff, 0xff, 0x7f, 0xff, 0xff, 0xff]);
        std::fs::write(root.path().join("logs/bomb.png"), bomb)?;
        assert!(why(photo("bomb.png", &places, How::Embedded)).starts_with("it is no picture"));
        Ok(())
    }
}
