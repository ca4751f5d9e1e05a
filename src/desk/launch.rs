//! The file that opens the page: every user of the machine can read the arguments of a browser, so
//! its address, with the secret in it, is given in a file that only its owner can read.

use crate::error::Result;
use crate::files::Private;
use std::path::Path;

/// Writes the file that leads to `address`.
///
/// It is in the user's home folder where it can be: browsers that run confined read neither hidden
/// folders nor the system's folder for temporary files.
///
/// # Errors
/// If neither folder can be written to.
pub fn launch_file(address: &str) -> Result<Private> {
    let page = page(address);
    let write = |folder: &Path| Private::new(folder, "upbead-desk-", ".html", page.as_bytes());
    let home = etcetera::home_dir().ok();
    match home.map(|home| write(&home)) {
        Some(Ok(file)) => Ok(file),
        _ => write(&std::env::temp_dir()),
    }
}

fn page(address: &str) -> String {
    format!(
        "<!DOCTYPE html>\n\
         <html lang=\"en\">\n\
         <meta charset=\"utf-8\">\n\
         <meta name=\"referrer\" content=\"no-referrer\">\n\
         <meta http-equiv=\"refresh\" content=\"0; url={address}\">\n\
         <title>upbead desk</title>\n\
         <p><a href=\"{address}\">Open the desk</a>\n\
         </html>\n"
    )
}
